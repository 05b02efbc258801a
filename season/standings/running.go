package standings

import (
	"cmp"
	"slices"

	"whistlestop/game/message"
)

// Running is a table that goes on: one game put in, changed or taken out costs that
// game, and the ranking when it is asked for.
type Running struct {
	ranker
	teams []Team
	games map[string]*Game
}

// NewRunning is a table of these teams without a game.
func NewRunning(teams []Team, p Procedure, given Given) (*Running, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	r := &Running{
		ranker: ranker{
			procedure: p, given: given, of: map[Team][]*Game{}, rows: make(map[Team]Row, len(teams)), meetings: map[[2]Team][]*Game{},
		},
		teams: slices.Clone(teams), games: map[string]*Game{},
	}
	slices.Sort(r.teams) // so that the order of the input changes nothing, not even among equals
	for _, team := range r.teams {
		if _, twice := r.rows[team]; twice {
			return nil, message.New("standings.team_twice", "team", team)
		}
		carried := given.Carried[team]
		carried.possible += carried.Played * p.Points.Most()
		r.rows[team] = carried
	}
	return r, nil
}

// Put counts a game, in place of what was counted under its id.
func (r *Running) Put(g Game) error {
	if err := g.Validate(); err != nil {
		return err
	}
	r.Remove(g.ID)
	r.games[g.ID] = &g
	r.add(&g)
	return nil
}

// Game is what was counted under an id.
func (r *Running) Game(id string) (Game, bool) {
	g, known := r.games[id]
	if !known {
		return Game{}, false
	}
	return *g, true
}

// Remove takes a game out, if it was counted.
func (r *Running) Remove(id string) {
	g, known := r.games[id]
	if !known {
		return
	}
	delete(r.games, id)
	if !g.counts() {
		return
	}
	is := func(other *Game) bool { return other == g }
	pair := meeting(g.Home, g.Away)
	r.meetings[pair] = slices.DeleteFunc(r.meetings[pair], is)
	for _, team := range []Team{g.Home, g.Away} {
		r.of[team] = slices.DeleteFunc(r.of[team], is)
		if row, ours := r.rows[team]; ours {
			r.rows[team] = row.Plus(r.procedure.RowOf(*g, team).negative())
		}
	}
}

func (r *Running) add(g *Game) {
	if !g.counts() {
		return
	}
	pair := meeting(g.Home, g.Away)
	r.meetings[pair] = inTime(r.meetings[pair], g)
	for _, team := range []Team{g.Home, g.Away} {
		r.of[team] = append(r.of[team], g)
		if row, ours := r.rows[team]; ours {
			row.add(*g, team, r.procedure.Points, r.procedure.cut(0))
			r.rows[team] = row
		}
	}
}

// inTime puts a game where it belongs by its time; those without one stay in the
// order in which they came.
func inTime(games []*Game, g *Game) []*Game {
	at := len(games)
	for at > 0 && cmp.Or(cmp.Compare(games[at-1].When, g.When), order(games[at-1], g)) > 0 {
		at--
	}
	return slices.Insert(games, at, g)
}

func order(a, b *Game) int {
	if a.When == "" {
		return 0
	}
	return cmp.Compare(a.ID, b.ID)
}

// Table is the ranking of the games that were put in.
func (r *Running) Table() Table {
	one := r.ranker
	return one.table(r.teams)
}
