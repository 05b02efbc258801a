package standings

import (
	"slices"
)

// Open is a game to come.
type Open struct {
	ID         string
	Home, Away Team
}

// Chance is where a team may still end. What is exact was proven: a place by results
// that lead to it, and that there is no better or worse one. Where it is not, the
// place is the best or worst that was found, and a further one is not decided.
type Chance struct {
	Team                  Team
	Best, Worst           int
	BestExact, WorstExact bool
}

// Outlook is what may still happen.
type Outlook struct {
	NoDraws bool // games cannot end drawn
	Moves   int  // how much is tried before something is not decided; nought: 100,000
}

// Chances says where each team may still end, whatever the results of the games to
// come. Goals to come may be any: where a step that compares goals would have to part
// teams, a place is exact only if results were found that lead to it.
func Chances(teams []Team, games []Game, open []Open, p Procedure, given Given, o Outlook) ([]Chance, error) {
	if o.Moves == 0 {
		o.Moves = 100_000
	}
	r, err := NewRunning(teams, p, given)
	if err != nil {
		return nil, err
	}
	for i := range games {
		if err := games[i].Validate(); err != nil {
			return nil, err
		}
		r.add(&games[i])
	}
	v := &view{running: r, teams: r.teams, p: p, open: open, outlook: o, endings: endings(p, o), toCome: map[Team]int{}}
	for _, g := range open {
		v.toCome[g.Home]++
		v.toCome[g.Away]++
	}
	for range v.teams {
		v.worst = append(v.worst, bounds{found: 1, proven: len(teams)})
		v.best = append(v.best, bounds{found: len(teams), proven: 1})
	}
	v.tryAll()
	out := make([]Chance, len(v.teams))
	for i, team := range v.teams {
		v.outlookOf(i)
		out[i] = Chance{
			Team: team, Best: v.best[i].found, Worst: v.worst[i].found,
			BestExact: v.best[i].found == v.best[i].proven, WorstExact: v.worst[i].found == v.worst[i].proven,
		}
	}
	return out, nil
}

// bounds is the furthest place that results were found for, and the one beyond which
// there is proven to be none.
type bounds struct{ found, proven int }

// view is the games to come with what is tried on them.
type view struct {
	running *Running
	teams   []Team
	p       Procedure
	open    []Open
	outlook Outlook
	endings []ending
	toCome  map[Team]int
	worst   []bounds
	best    []bounds
}

// ending is a way in which a game may end.
type ending struct {
	how        How
	won        Outcome
	home, away int // points
}

func endings(p Procedure, o Outlook) []ending {
	pts := p.Points
	list := []ending{
		{Regulation, HomeWon, pts.RegulationWin, pts.RegulationLoss}, {Regulation, AwayWon, pts.RegulationLoss, pts.RegulationWin},
		{Overtime, HomeWon, pts.OvertimeWin, pts.OvertimeLoss}, {Overtime, AwayWon, pts.OvertimeLoss, pts.OvertimeWin},
		{ShootOut, HomeWon, pts.ShootOutWin, pts.ShootOutLoss}, {ShootOut, AwayWon, pts.ShootOutLoss, pts.ShootOutWin},
	}
	if !o.NoDraws {
		list = append(list, ending{Regulation, Drawn, pts.Draw, pts.Draw})
	}
	return list
}

// game is a game to come as it would end, with the goals of both.
func (e ending) game(g Open, win, lose int) Game {
	one := Game{ID: "open/" + g.ID, Home: g.Home, Away: g.Away, How: e.how, HomeGoals: win, AwayGoals: lose}
	switch e.won {
	case AwayWon:
		one.HomeGoals, one.AwayGoals = lose, win
	case Drawn:
		one.AwayGoals = win
	case HomeWon, Goals:
	}
	return one
}

// margins are the goals that are tried: just enough, and far more than enough, with
// few goals and with many.
var margins = [][2]int{{1, 0}, {40, 0}, {41, 40}}

// tries are the endings of one game with their goals. In overtime and a shoot-out one
// goal decides.
func (v *view) tries(g Open) (list []Game) {
	for _, e := range v.endings {
		for _, m := range margins {
			late := e.how == Overtime || e.how == ShootOut
			if late && m[0]-m[1] > 1 || e.won == Drawn && m[1] > 0 {
				continue
			}
			list = append(list, e.game(g, m[0], m[1]))
		}
	}
	return list
}

// tryAll plays every ending of the games to come, where they are few enough: then
// everything is known but what goals would part.
func (v *view) tryAll() {
	all := 1
	for _, g := range v.open {
		if all *= len(v.tries(g)); all > v.outlook.Moves {
			return
		}
	}
	proven := make([]bounds, len(v.teams))
	for i := range proven {
		proven[i] = bounds{found: len(v.teams), proven: 1} // the best and the worst that goals might make of it
	}
	coarse := v.coarse()
	v.each(0, func() {
		v.look(v.running.Table())
		v.ranges(coarse, func(team, best, worst int) {
			proven[team].found = min(proven[team].found, best)
			proven[team].proven = max(proven[team].proven, worst)
		})
	})
	for i, b := range proven {
		v.best[i].proven, v.worst[i].proven = max(v.best[i].proven, b.found), min(v.worst[i].proven, b.proven)
	}
}

func (v *view) each(i int, leaf func()) {
	if i == len(v.open) {
		leaf()
		return
	}
	for _, g := range v.tries(v.open[i]) {
		v.running.put(g)
		v.each(i+1, leaf)
	}
	v.running.Remove("open/" + v.open[i].ID)
}

// put is Put of a game that is known to be one.
func (r *Running) put(g Game) {
	r.Remove(g.ID)
	r.games[g.ID] = &g
	r.add(&g)
}

// look keeps the places of a table that some results lead to.
func (v *view) look(t Table) {
	v.spans(t, func(team, best, worst int) {
		v.best[team].found = min(v.best[team].found, best)
		v.worst[team].found = max(v.worst[team].found, worst)
	})
}

// spans calls with each team's best and worst place of a table: equal teams may end
// anywhere among themselves.
func (v *view) spans(t Table, with func(team, best, worst int)) {
	for from := 0; from < len(t.Places); {
		to := from
		for to < len(t.Places) && t.Places[to].Place == t.Places[from].Place {
			to++
		}
		for _, placed := range t.Places[from:to] {
			i, _ := slices.BinarySearch(v.teams, placed.Team)
			with(i, from+1, to)
		}
		from = to
	}
}

// coarse is the procedure as far as no goals to come and nothing unknown decides.
func (v *view) coarse() Procedure {
	p := v.p
	known := func(steps []Step) []Step {
		for i, step := range steps {
			switch step.Measure {
			case MeasurePoints, MeasureWins, MeasureRegulation, MeasureNoShootOut, MeasureShare, MeasurePerGame, MeasureOdd, MeasureTopDown:
				continue
			case MeasureDifference, MeasureFor, MeasureAgainst, MeasureRatio, MeasureQuotient, MeasureMinutes, MeasureFirstGoal,
				MeasureSeeding, MeasureOutside:
			}
			return steps[:i]
		}
		return steps
	}
	p.Two, p.More = known(p.Two), known(p.More)
	// Who goes on alone, and what is dropped, hangs on the later steps too. A step that
	// looks at other teams' places hangs on what goals part among them.
	looks := func(s Step) bool { return s.Measure == MeasureTopDown }
	if p.Way == BestOnly || p.Way == AllAtOnce || slices.ContainsFunc(p.Two, looks) || slices.ContainsFunc(p.More, looks) {
		p.Two, p.More = nil, nil
	}
	if len(v.p.More) > 0 && len(p.More) == 0 {
		// No step at all for three or more: they must not fall back to those for two.
		p.More = []Step{{Measure: MeasureSeeding}}
	}
	return p
}

// ranges calls with each team's best and worst place by a coarse procedure.
func (v *view) ranges(p Procedure, with func(team, best, worst int)) {
	one := v.running.ranker
	one.procedure, one.given.Seeding = p, nil
	v.spans(one.table(v.teams), with)
}
