package standings

import (
	"cmp"
	"slices"
)

// Given is what a ranking needs beside the games.
type Given struct {
	Carried map[Team]Row // what a team brings with it, or was taken from it by a ruling
	Seeding []Team       // the order in which they came in, best first
	Minutes map[Team]int // penalty minutes; the step is left out where they are not given
}

// Placed is a team's line of the table.
type Placed struct {
	Team  Team
	Place int  // one number for all who are equal
	Equal bool // still equal with others after every step
	Row   Row
}

// Decision says which step first parted a group of equal teams, and with what.
type Decision struct {
	Step  Step
	Parts [][]Team // best first; those of one part are still equal after this step
	Value map[Team]Value
}

// Teams are all whom the step parted, in the order of their parts.
func (d Decision) Teams() []Team { return slices.Concat(d.Parts...) }

// Table is a ranking with its reasons.
type Table struct {
	Places  []Placed
	Decided []Decision // in the order in which they were made
	Equal   [][]Team   // groups that no step could part: the league must say how
}

// Order is the teams, best first.
func (t Table) Order() []Team {
	order := make([]Team, len(t.Places))
	for i, placed := range t.Places {
		order[i] = placed.Team
	}
	return order
}

// Rank makes the table of these teams from the games. Games against teams that
// are not listed count too. It fails on a game or a procedure that cannot be.
func Rank(teams []Team, games []Game, p Procedure, given Given) (Table, error) {
	r, err := NewRunning(teams, p, given)
	if err != nil {
		return Table{}, err
	}
	for i := range games {
		if err := games[i].Validate(); err != nil {
			return Table{}, err
		}
		r.add(&games[i])
	}
	return r.Table(), nil
}

// ranker holds what one ranking needs.
type ranker struct {
	procedure Procedure
	given     Given
	of        map[Team][]*Game    // the games of a team that count
	rows      map[Team]Row        // over all games
	meetings  map[[2]Team][]*Game // the games of two teams, in the order of the games
	first     [][]Team            // groups by the first rank, best first
	decided   []Decision
}

func meeting(a, b Team) [2]Team {
	if a > b {
		a, b = b, a
	}
	return [2]Team{a, b}
}

func (r *ranker) table(sorted []Team) Table {
	values, _ := r.values(r.procedure.First, sorted, sorted)
	r.first = parts(sorted, values)
	var t Table
	for _, group := range r.first {
		for _, tier := range r.resolve(group) {
			place := len(t.Places) + 1
			for _, team := range tier {
				row := r.rows[team]
				row.PenaltyMinutes += r.given.Minutes[team]
				t.Places = append(t.Places, Placed{Team: team, Place: place, Equal: len(tier) > 1, Row: row})
			}
			if len(tier) > 1 {
				t.Equal = append(t.Equal, tier)
			}
		}
	}
	t.Decided = r.decided
	return t
}

// parts divides a group by a value, best first; the teams of a part keep their order.
func parts(group []Team, values map[Team]Value) [][]Team {
	sorted := slices.Clone(group)
	slices.SortStableFunc(sorted, func(a, b Team) int { return values[b].compare(values[a]) })
	var list [][]Team
	for i, team := range sorted {
		if i == 0 || values[team].compare(values[sorted[i-1]]) != 0 {
			list = append(list, nil)
		}
		list[len(list)-1] = append(list[len(list)-1], team)
	}
	for _, part := range list {
		slices.Sort(part)
	}
	return list
}

// resolve orders a group that is equal so far, from the first step of its ladder.
func (r *ranker) resolve(group []Team) [][]Team {
	if len(group) < 2 {
		return [][]Team{group}
	}
	steps := r.steps(group)
	if r.procedure.Way == BestOnly {
		return r.bestOnly(group, steps)
	}
	return r.climb(group, steps, 0, group)
}

// climb takes a group up its ladder from step i. Among says whose games the
// direct steps count: those who were tied when the first of them was reached, as
// a table of their own has columns and is not made anew for each.
func (r *ranker) climb(group []Team, steps []Step, i int, among []Team) [][]Team {
	for ; i < len(steps); i++ {
		step := steps[i]
		if !step.Direct || i == 0 || !steps[i-1].Direct {
			among = group
		}
		values, said := r.values(step, group, among)
		if !said {
			continue
		}
		split := parts(group, values)
		if len(split) == 1 || r.procedure.Way == AllAtOnce && len(split) < len(group) {
			continue
		}
		r.decided = append(r.decided, Decision{Step: step, Parts: split, Value: values})
		var order [][]Team
		for _, part := range split {
			again := r.procedure.Way == Restart || r.procedure.Way == TwoLeft && len(part) == 2
			switch {
			case len(part) == 1:
				order = append(order, part)
			case again:
				order = append(order, r.resolve(part)...)
			default:
				order = append(order, r.climb(part, steps, i+1, among)...)
			}
		}
		return order
	}
	return [][]Team{group}
}

// bestOnly takes only the best of each step to the next one, until one is left:
// then all others begin again.
func (r *ranker) bestOnly(group []Team, steps []Step) [][]Team {
	best, among := group, group
	for i, step := range steps {
		if len(best) == 1 {
			break
		}
		if !step.Direct || i == 0 || !steps[i-1].Direct {
			among = best
		}
		values, said := r.values(step, best, among)
		if !said {
			continue
		}
		if split := parts(best, values); len(split) > 1 {
			r.decided = append(r.decided, Decision{Step: step, Parts: split, Value: values})
			best = split[0]
		}
	}
	rest := slices.DeleteFunc(slices.Clone(group), func(team Team) bool { return slices.Contains(best, team) })
	if len(rest) == 0 {
		return [][]Team{best}
	}
	return append([][]Team{best}, r.resolve(rest)...)
}

// steps lays a ladder out for a group: direct steps are left out where the league
// wants that all have met and they have not, and a step against others becomes
// one for each of them.
func (r *ranker) steps(group []Team) []Step {
	var list []Step
	met := !r.procedure.DirectAll || r.allMet(group)
	for _, step := range r.procedure.ladder(len(group)) {
		switch {
		case step.Measure == MeasureOutside:
			for _, other := range r.outside(group) {
				for _, measure := range []Measure{MeasurePoints, MeasureDifference, MeasureFor} {
					list = append(list, Step{Measure: measure, against: other, word: MeasureOutside})
				}
			}
		case step.Measure == MeasureTopDown:
			for _, other := range r.outside(group) {
				list = append(list, Step{Measure: MeasurePoints, against: other, word: MeasureTopDown})
			}
		case !step.Direct || met:
			list = append(list, step)
		}
	}
	return list
}

func (r *ranker) allMet(group []Team) bool {
	for i, a := range group {
		for _, b := range group[i+1:] {
			if len(r.meetings[meeting(a, b)]) == 0 {
				return false
			}
		}
	}
	return true
}

// outside is the other teams, best first; those who are equal stand together, so
// that no name decides which of them comes first. Teams of another tied group
// stand in the order of their own ladder without the steps that look outside,
// which would go round in a circle.
func (r *ranker) outside(group []Team) [][]Team {
	inner := &ranker{procedure: r.procedure, given: r.given, of: r.of, rows: r.rows, meetings: r.meetings}
	inside := func(step Step) bool { return step.Measure == MeasureOutside || step.Measure == MeasureTopDown }
	inner.procedure.Two = slices.DeleteFunc(slices.Clone(r.procedure.Two), inside)
	inner.procedure.More = slices.DeleteFunc(slices.Clone(r.procedure.More), inside)
	var order [][]Team
	for _, tied := range r.first {
		for _, tier := range inner.resolve(tied) {
			others := slices.DeleteFunc(slices.Clone(tier), func(team Team) bool { return slices.Contains(group, team) })
			if len(others) > 0 {
				order = append(order, others)
			}
		}
	}
	return order
}

// values works a step out for a group. It is false where the step says nothing of
// somebody: then it is left out for all.
func (r *ranker) values(step Step, group, among []Team) (map[Team]Value, bool) {
	values := make(map[Team]Value, len(group))
	switch {
	case step.Measure == MeasureSeeding:
		for _, team := range group {
			at := slices.Index(r.given.Seeding, team)
			if at < 0 {
				return nil, false
			}
			values[team] = fewest(at + 1)
		}
		return values, true
	case step.Measure == MeasureMinutes:
		for _, team := range group {
			minutes, known := r.given.Minutes[team]
			if !known {
				return nil, false
			}
			values[team] = fewest(minutes)
		}
		return values, true
	}
	for _, team := range group {
		row := r.rows[team]
		switch {
		case len(step.against) > 0:
			row = r.among(team, step.against, step)
		case step.Direct:
			row = r.among(team, among, step)
		case step.Cut > 0:
			row = r.cut(team, step.Cut)
		}
		value, said := step.value(row)
		if !said {
			return nil, false
		}
		values[team] = value
	}
	return values, true
}

// among is a team's row over its games against some others.
func (r *ranker) among(team Team, others []Team, step Step) Row {
	var row Row
	for _, other := range others {
		if other == team {
			continue
		}
		games := r.meetings[meeting(team, other)]
		left := map[*Game]bool{}
		if step.Measure == MeasureOdd {
			left = r.odd(games)
		}
		for _, game := range games {
			if !left[game] {
				row.add(*game, team, r.procedure.Points, r.procedure.cut(step.Cut))
			}
		}
	}
	return row
}

// odd is the first games in the town in which two teams met more often, as many
// as there are more.
func (r *ranker) odd(games []*Game) map[*Game]bool {
	in := map[Team][]*Game{}
	for _, game := range games {
		in[game.Home] = append(in[game.Home], game)
	}
	left := map[*Game]bool{}
	if len(games) == 0 {
		return left
	}
	here, there := in[games[0].Home], in[games[0].Away]
	if len(here) < len(there) {
		here, there = there, here
	}
	for _, game := range here[:len(here)-len(there)] {
		left[game] = true
	}
	return left
}

// cut is a team's row over all its games with every difference cut.
func (r *ranker) cut(team Team, most int) Row {
	row := r.given.Carried[team]
	for _, game := range r.of[team] {
		row.add(*game, team, r.procedure.Points, r.procedure.cut(most))
	}
	return row
}

// Reason compares the two teams on both sides of a place of the table: what each had
// at the step that parted them.
type Reason struct {
	Above, Below           Team
	AboveValue, BelowValue Value
	Step                   Step
	Direct                 int    // how many teams the games were counted among
	Among                  []Team // those teams, as the step parted them
}

// Why lists, for each two neighbours that were equal by the first rank, the step
// that parted them.
func (t Table) Why() []Reason {
	var list []Reason
	for i := 1; i < len(t.Places); i++ {
		above, below := t.Places[i-1].Team, t.Places[i].Team
		at := slices.IndexFunc(t.Decided, func(d Decision) bool { return d.parted(above, below) })
		if at < 0 {
			continue
		}
		d := t.Decided[at]
		list = append(list, Reason{
			Above: above, Below: below, AboveValue: d.Value[above], BelowValue: d.Value[below],
			Step: d.Step, Direct: len(d.Value), Among: d.Teams(),
		})
	}
	return list
}

func (d Decision) parted(a, b Team) bool {
	in := func(team Team) int {
		return slices.IndexFunc(d.Parts, func(part []Team) bool { return slices.Contains(part, team) })
	}
	return in(a) >= 0 && in(b) >= 0 && cmp.Compare(in(a), in(b)) != 0
}
