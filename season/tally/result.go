package tally

import (
	"slices"

	"whistlestop/season/league"
	"whistlestop/season/schedule"
	"whistlestop/season/standings"
)

// decisions are a league's decisions by what they are about.
type decisions struct {
	typed    map[string]league.Typed
	forfeits map[string]league.Forfeit
	off      map[string]league.Overrule
	points   map[string][]league.Points
	lots     map[string][]league.Lots
	rulings  []league.Ruling
	onRecord []league.OnRecord
}

func byGame(d league.Decisions) decisions {
	by := decisions{
		typed: map[string]league.Typed{}, forfeits: map[string]league.Forfeit{}, off: map[string]league.Overrule{},
		points: map[string][]league.Points{}, lots: map[string][]league.Lots{}, rulings: d.Rulings, onRecord: d.OnRecord,
	}
	for _, one := range d.Results {
		by.typed[one.Game] = one
	}
	for _, one := range d.Forfeits {
		by.forfeits[one.Game] = one
	}
	for _, one := range d.Withdrawals {
		by.off[one.Game] = one
	}
	for _, one := range d.Points {
		by.points[one.Team] = append(by.points[one.Team], one)
	}
	for _, one := range d.Lots {
		by.lots[one.Division] = append(by.lots[one.Division], one)
	}
	return by
}

// resultOf is a game's result, whether its sheet is known, and whether its figures
// count. A decision of the league stands before a sheet, a sheet before what was
// typed.
func (t *Tally) resultOf(g *game, d *division) (r *Result, sheet, counted bool) {
	f := g.facts
	sheet = f != nil && f.Over
	if sheet {
		r = &Result{
			From: Ended, Goals: [2]int{f.Result.HomeGoals, f.Result.AwayGoals}, How: f.Result.How, Seals: f.Seals, Ledger: f.Ledger,
		}
		switch {
		case f.Sealed:
			r.From = Sealed
		case f.Seals > 0:
			r.From = Amended
		}
		r.Counts = r.From != Ended || d.ranking == nil || d.ranking.Counts == league.CountsEnded
	}
	// What was begun and not ended counts once the league says how.
	if g.State == schedule.Abandoned {
		if r == nil {
			r = &Result{From: Ended}
		}
		r.How, r.Counts = standings.Abandoned, false
	}
	if typed, known := t.decisions.typed[g.ID]; known && (r == nil || !r.Counts) {
		r = &Result{From: Typed, Goals: [2]int{typed.Home, typed.Visitors}, How: typed.How, Counts: true, Why: typed.Why}
	}
	counted = sheet && r != nil && (r.Counts || r.How == standings.Abandoned)
	if forfeit, known := t.decisions.forfeits[g.ID]; known {
		r = &Result{From: Awarded, How: standings.Forfeit, Counts: true, Why: forfeit.Why}
		goals := 0
		if d.ranking != nil {
			goals = d.ranking.ForfeitGoals
		}
		switch forfeit.To {
		case g.Home:
			r.Goals[0] = max(goals, 1)
		case g.Visitors:
			r.Goals[1] = max(goals, 1)
		default:
			r.How = standings.Void
		}
		counted = sheet && forfeit.Figures
	}
	if off, known := t.decisions.off[g.ID]; known && r != nil {
		r.Counts, r.Why, counted = false, off.Why, false
	}
	return r, sheet, counted
}

// state is a game's state with what the sheets say.
func (g *game) state() schedule.State {
	switch {
	case g.result == nil:
		return g.State
	case g.result.From == Awarded:
		return schedule.Forfeited
	case g.State == schedule.Abandoned && g.result.How == standings.Abandoned:
		return schedule.Abandoned
	}
	return schedule.Played
}

// toCome says whether a game may still be played.
func (g *game) toCome() bool {
	return g.result == nil && !slices.Contains([]schedule.State{schedule.Cancelled, schedule.Forfeited, schedule.Played}, g.State)
}
