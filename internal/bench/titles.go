package bench

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Title is what a list of games shows of one.
type Title struct {
	ID       string       `json:"id"`
	Home     string       `json:"home"`
	Visitors string       `json:"visitors"`
	Division string       `json:"division,omitempty"`
	Number   string       `json:"number,omitempty"`
	Schedule string       `json:"schedule,omitempty"` // id of the game in the league's schedule
	Venue    string       `json:"venue,omitempty"`
	Date     string       `json:"date,omitempty"`
	Opened   entry.Millis `json:"opened_ms"`
	Seq      int          `json:"seq,omitempty"` // the newest entry; 0: not known
	Newest   string       `json:"-"`             // hash of the newest entry, where others can take its place; else empty
	Score    [2]int       `json:"score"`         // home, visitors
	Stage    entry.Stage  `json:"stage"`
	Damaged  bool         `json:"damaged,omitempty"` // its ledger cannot be read
	Reading  bool         `json:"reading,omitempty"` // its ledger is still to be read: ask again

	// Ahead is by how much its newest entry is dated after what this computer's
	// clock says: one of the two is wrong.
	Ahead  entry.Millis `json:"ahead_ms,omitempty"`
	newest entry.Millis
}

// at returns the title as it is at an instant.
func (t Title) at(now entry.Millis) Title {
	if t.Ahead = 0; t.newest > now+stepLeast {
		t.Ahead = t.newest - now
	}
	t.newest = 0 // only the bench's own list needs it
	return t
}

// readAtOnce is how many games that nobody looked at since the start are read
// before a list is answered. The others are read behind it: a season of games
// must not keep people waiting for the one that is on.
const readAtOnce = 20

// Games lists the games, the newest first. A game whose ledger is damaged is in
// the list, marked: it must not hide the others, nor itself. What is still to be
// read is marked too; whoever asks again gets more.
func (b *Bench) Games(ctx context.Context) ([]Title, error) {
	b.readIndex(ctx)
	ids, err := b.ledgers.Games(ctx)
	if err != nil {
		return nil, problem(Unavailable, err, "bench.unreadable")
	}
	titles := make([]Title, len(ids))
	var later []string
	read := 0
	for i, id := range ids {
		if _, _, known := b.known(id); !known {
			if read++; read > readAtOnce {
				titles[i] = Title{ID: id, Reading: true}
				later = append(later, id)
				continue
			}
		}
		if titles[i], err = b.title(ctx, id); err != nil {
			return nil, err
		}
		titles[i] = titles[i].at(b.Now())
	}
	b.readLater(later)
	return titles, nil
}

// readLater reads the titles of games one after the other, unless that is under
// way.
func (b *Bench) readLater(ids []string) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if len(ids) == 0 || b.reading || b.closed {
		return
	}
	b.reading = true
	b.group.Go(func() {
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		defer func() {
			b.mutex.Lock()
			b.reading = false
			b.mutex.Unlock()
		}()
		for _, id := range ids {
			select {
			case <-b.stop:
				return
			default:
			}
			_, _ = b.title(ctx, id) // what cannot be read is in the log and in the list
		}
	})
}

// known returns the goroutine of a game that is in memory, or its title where
// that was worked out. A title that is there is the newest.
func (b *Bench) known(id string) (g *game, title Title, known bool) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	g, title = b.games[id], b.titles[id]
	if title.ID != "" {
		return nil, title, true
	}
	return g, title, g != nil
}

func (b *Bench) title(ctx context.Context, id string) (Title, error) {
	g, title, known := b.known(id)
	if g != nil {
		title, err := ask(ctx, g, func() (Title, error) {
			if err := g.ready(); err != nil {
				return Title{}, err
			}
			return titleOf(id, g.ledger, g.update.State), nil
		})
		if err != nil && ctx.Err() == nil {
			return Title{ID: id, Damaged: true}, nil
		}
		return title, err
	}
	if known {
		return title, nil
	}
	title = Title{ID: id, Damaged: true}
	ledger, err := b.ledgers.Load(ctx, id)
	if ctx.Err() != nil {
		return Title{}, problem(Unavailable, err, "bench.unreadable")
	}
	if err != nil {
		b.logger.Error("load a game for the list", "game", id, "error", err)
		return title, nil
	}
	state, err := rules.Fold(ledger)
	if err != nil {
		b.logger.Error("fold a game for the list", "game", id, "error", err)
		return title, nil
	}
	title = titleOf(id, ledger, state)
	b.keepIndexed(title, len(ledger))
	return b.keepTitle(title), nil
}

// forgetTitle forgets the title of a game that came into memory: it changes from
// now on.
func (b *Bench) forgetTitle(id string) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	delete(b.titles, id)
}

// keepTitle keeps the title of a game that is not in memory. That one could not be
// read is not kept: the disk may have been at fault, and not the game.
func (b *Bench) keepTitle(title Title) Title {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.games[title.ID] == nil {
		b.titles[title.ID] = title
	}
	return title
}

func titleOf(id string, ledger []entry.Entry, s rules.State) Title {
	t := Title{
		ID: id, Home: s.Teams[0].Name, Visitors: s.Teams[1].Name,
		Score: [2]int{s.Teams[0].Score, s.Teams[1].Score}, Stage: s.Stage,
		Seq: s.Seq, Division: s.Division.Name, Number: s.Info.Number, Schedule: s.Info.Schedule, Venue: s.Info.Venue, Date: s.Info.Date,
	}
	if len(ledger) > 0 {
		t.Opened, t.newest = ledger[0].Wall, ledger[len(ledger)-1].Wall
	}
	return t
}
