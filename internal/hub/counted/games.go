package counted

import (
	"context"
	"slices"
	"strings"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/reports"
)

// Why says why a game is left out.
type Why string

// The reasons.
const (
	Held     Why = "held"     // two benches differ, and nobody decided yet
	Unread   Why = "unread"   // it cannot be worked out
	Touched  Why = "touched"  // its chain or a seal does not hold
	Reopened Why = "reopened" // the association wants another version, which is not there yet
)

// Left is a game that is left out.
type Left struct {
	Title bench.Title
	Why   Why
}

// Store is what is read of the ledgers.
type Store interface {
	reports.Store
	Games(ctx context.Context, association string) ([]ledgers.Game, error)
}

// Games are those of an association. They are safe for use by many goroutines.
type Games struct {
	Association string
	Live        *live.Games
	Store       Store

	mutex sync.Mutex
	known map[string]known
}

// known is what was found out of a game that ends so.
type known struct {
	head     ledgers.Head
	reopened int
	title    bench.Title
	hidden   bool // its division shows no score
	why      Why  // empty: it counts as far as it is sealed
}

// Games lists the games that are not left out, in the order of their ids.
func (g *Games) Games(ctx context.Context) ([]bench.Title, error) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if err := g.look(ctx); err != nil {
		return nil, err
	}
	var titles []bench.Title
	for _, one := range g.known {
		if one.why == "" {
			titles = append(titles, one.title)
		}
	}
	slices.SortFunc(titles, func(a, b bench.Title) int { return strings.Compare(a.ID, b.ID) })
	return titles, nil
}

// Left lists the games that were left out when Games was asked last, in the order of
// their ids.
func (g *Games) Left() []Left {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	var list []Left
	for _, one := range g.known {
		if one.why != "" {
			list = append(list, Left{one.title, one.why})
		}
	}
	slices.SortFunc(list, func(a, b Left) int { return strings.Compare(a.Title.ID, b.Title.ID) })
	return list
}

// Scoreless are the ledgers whose divisions show no score to anybody.
func (g *Games) Scoreless() map[string]bool {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	list := map[string]bool{}
	for id, one := range g.known {
		if one.hidden {
			list[id] = true
		}
	}
	return list
}

// look finds out what is new. The caller holds the mutex.
func (g *Games) look(ctx context.Context) error {
	all, err := g.Store.Games(ctx, g.Association)
	if err != nil {
		return err
	}
	reopened, err := g.Store.Reopened(ctx, g.Association)
	if err != nil {
		return err
	}
	next := make(map[string]known, len(all))
	for _, one := range all {
		before, is := g.known[one.ID]
		if is && before.head == one.Head && before.reopened == reopened[one.ID] && before.why != Unread {
			next[one.ID] = before
			continue
		}
		if next[one.ID], err = g.find(ctx, one, reopened[one.ID]); err != nil {
			return err
		}
	}
	g.known = next
	return nil
}

// find finds out about one game.
func (g *Games) find(ctx context.Context, one ledgers.Game, reopened int) (known, error) {
	all := reports.Reports{Live: g.Live, Store: g.Store, Association: g.Association}
	listed := g.Live.Listed(ctx, one)
	k := known{head: one.Head, reopened: reopened, hidden: listed.NoScore, title: bench.Title{
		ID: one.ID, Home: listed.Home, Visitors: listed.Visitors, Division: listed.Division, Number: listed.Number, Date: listed.Date,
		Opened: listed.Opened, Seq: one.Seq, Newest: one.Hash, Score: listed.Score, Stage: listed.Stage,
	}}
	var err error
	if k.title.Schedule, err = g.schedule(ctx, one.ID); err != nil {
		return k, err
	}
	switch r := all.Of(listed, reopened); r.State {
	case reports.Held:
		k.why = Held
	case reports.Unread:
		k.why = Unread
	case reports.Reopened:
		k.why = Reopened
	case reports.Sealed, reports.Amended:
		whole, err := all.Whole(ctx, r)
		if err != nil {
			return k, err
		}
		if whole.Stands() == reports.Touched {
			k.why = Touched
		}
	case reports.Playing, reports.Unsealed:
	}
	return k, nil
}

// schedule is the game's id in the schedule; empty: it has none.
func (g *Games) schedule(ctx context.Context, game string) (string, error) {
	lines, err := g.Store.Lines(ctx, ledgers.Where{Association: g.Association, Game: game}, 0, 1)
	if err != nil || len(lines) == 0 {
		return "", err
	}
	first, err := ledgers.Entries(lines)
	if err != nil {
		return "", nil // its title says that it cannot be read
	}
	opening, _ := first[0].Body.(entry.GameOpened)
	return opening.Schedule, nil
}

// ledgerMost is more entries than a game has.
const ledgerMost = 20_000

// Ledger is the entries of a game that count: up to its newest seal, where it has one,
// and what was withdrawn after it.
func (g *Games) Ledger(ctx context.Context, game string) ([]entry.Entry, error) {
	lines, err := g.Store.Lines(ctx, ledgers.Where{Association: g.Association, Game: game}, 0, ledgerMost)
	if err != nil {
		return nil, err
	}
	ledger, err := ledgers.Entries(lines)
	return AsSealed(ledger), err
}

// AsSealed is a ledger up to its newest seal, with what was withdrawn since; one without a
// seal is returned whole. The ledger that is handed in is not changed.
func AsSealed(ledger []entry.Entry) []entry.Entry {
	end := 0
	for i, e := range ledger {
		if e.Kind() == entry.KindSealed {
			end = i + 1
		}
	}
	if end == 0 {
		return ledger
	}
	out := slices.Clone(ledger[:end])
	for _, e := range ledger[end:] {
		if e.Kind() == entry.KindWithdrawn {
			out = append(out, e)
		}
	}
	return out
}

// Open refuses: games are opened at benches.
func (*Games) Open(context.Context, bench.Opening) (bench.Reply, error) {
	return bench.Reply{}, api.Refuse("hub.crew.bench_only")
}

// Post refuses for the same reason.
func (*Games) Post(context.Context, string, []entry.Entry) (bench.Reply, error) {
	return bench.Reply{}, api.Refuse("hub.crew.bench_only")
}
