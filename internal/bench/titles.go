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
	Venue    string       `json:"venue,omitempty"`
	Date     string       `json:"date,omitempty"`
	Opened   entry.Millis `json:"opened_ms"`
	Score    [2]int       `json:"score"` // home, visitors
	Stage    entry.Stage  `json:"stage"`
	Damaged  bool         `json:"damaged,omitempty"` // its ledger cannot be read

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

// Games lists the games, the newest first. A game whose ledger is damaged is in
// the list, marked: it must not hide the others, nor itself.
func (b *Bench) Games(ctx context.Context) ([]Title, error) {
	ids, err := b.ledgers.Games(ctx)
	if err != nil {
		return nil, problem(Unavailable, err, "bench.unreadable")
	}
	titles := make([]Title, len(ids))
	for i, id := range ids {
		if titles[i], err = b.title(ctx, id); err != nil {
			return nil, err
		}
		titles[i] = titles[i].at(b.Now())
	}
	return titles, nil
}

func (b *Bench) title(ctx context.Context, id string) (Title, error) {
	b.mutex.Lock()
	g, title := b.games[id], b.titles[id]
	b.mutex.Unlock()
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
	if title.ID != "" {
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
	b.mutex.Lock()
	defer b.mutex.Unlock()
	if b.games[id] == nil {
		b.titles[id] = title
	}
	return title, nil
}

func titleOf(id string, ledger []entry.Entry, s rules.State) Title {
	t := Title{
		ID: id, Home: s.Teams[0].Name, Visitors: s.Teams[1].Name,
		Score: [2]int{s.Teams[0].Score, s.Teams[1].Score}, Stage: s.Stage,
		Division: s.Division.Name, Number: s.Info.Number, Venue: s.Info.Venue, Date: s.Info.Date,
	}
	if len(ledger) > 0 {
		t.Opened, t.newest = ledger[0].Wall, ledger[len(ledger)-1].Wall
	}
	return t
}
