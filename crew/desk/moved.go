package desk

import (
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
)

// Effect is what becomes of somebody's duty when the schedule changes.
type Effect string

// The effects.
const (
	NotNeeded Effect = "not_needed" // the game is not played then, or needs nobody there
	AskAgain  Effect = "ask_again"  // it is at another time or place
	Cannot    Effect = "cannot"     // and its person may not have it then
)

// Moved is what a change of the schedule does to a duty.
type Moved struct {
	Duty   duties.Duty // as it is before the change
	Effect Effect
	Yes    bool           // its person said yes to it
	Reason seating.Reason // why they cannot, or
	Rule   string         // of rota.Fault
	With   string         // the game of the other duty, where two do not go together
}

// Moved lists what a changed schedule does to the duties, in their order: then is the
// plan of it, of the same rules and people. Duties that began are left out, and so is
// what stands against a duty already.
func (d *Desk) Moved(then *seating.Plan) []Moved {
	slots := map[[2]string]int{}
	for i, s := range then.Slots {
		slots[[2]string{then.Games[s.Game].ID, s.Seat.ID}] = i
	}
	m := moving{desk: d, then: then, at: make([]int, len(d.Duties)), who: make([]int, len(then.Slots))}
	for i := range m.who {
		m.who[i] = rota.Nobody
	}
	for i, one := range d.Duties {
		slot, needed := slots[[2]string{one.Game, one.Seat}]
		if !needed {
			slot = -1
		} else {
			m.who[slot] = d.Who[i]
		}
		m.at[i] = slot
	}
	m.before, m.after = broken(d.Plan, d.Who), broken(then, m.who)
	said := d.Log.Work()
	var list []Moved
	for i, one := range d.Duties {
		if d.Who[i] == rota.Nobody || d.begun(i) {
			continue
		}
		if moved, any := m.of(i); any {
			moved.Duty = one
			moved.Yes = said.Of(one.Game, one.Seat, one.Who).Status == duties.Yes
			list = append(list, moved)
		}
	}
	return list
}

// moving is a rota on two plans.
type moving struct {
	desk          *Desk
	then          *seating.Plan
	at            []int // where each duty is in the plan then; -1: nowhere
	who           []int // of the plan then
	before, after map[[2]string][]fault
}

// fault is a hard rule that a duty breaks, and the other duty's game, if there is one.
type fault struct{ rule, with string }

// broken are the rules that duties break, by game and seat. One that two duties break
// together is there for both.
func broken(plan *seating.Plan, who []int) map[[2]string][]fault {
	name := func(slot int) [2]string {
		s := plan.Slots[slot]
		return [2]string{plan.Games[s.Game].ID, s.Seat.ID}
	}
	list := map[[2]string][]fault{}
	for _, f := range rota.Check(plan.Problem, who) {
		if f.Rule == "candidate" || f.Slot >= len(plan.Slots) {
			continue // its reason is asked for by itself
		}
		one := name(f.Slot)
		if f.Other < 0 {
			list[one] = append(list[one], fault{rule: f.Rule})
			continue
		}
		other := name(f.Other)
		list[one] = append(list[one], fault{f.Rule, other[0]})
		list[other] = append(list[other], fault{f.Rule, one[0]})
	}
	return list
}

// of is what becomes of a duty, if anything does.
func (m moving) of(i int) (Moved, bool) {
	slot, person := m.at[i], m.desk.Who[i]
	if slot < 0 {
		return Moved{Effect: NotNeeded}, true
	}
	moved := m.elsewhere(i)
	if reason := m.then.Why(slot, person); reason != "" && reason != m.desk.Plan.Why(i, person) {
		return Moved{Effect: Cannot, Reason: reason}, true
	}
	one := m.desk.Duties[i]
	key := [2]string{one.Game, one.Seat}
	for _, f := range m.after[key] {
		// Of two duties that do not go together the one that moves is named, and of too
		// many too.
		if slices.Contains(m.before[key], f) || !moved && (m.moves(f.with) || m.isOneOfMany(i, f.rule) >= 0) {
			continue
		}
		return Moved{Effect: Cannot, Rule: f.rule, With: f.with}, true
	}
	for j, other := range m.desk.Duties {
		for _, f := range m.after[[2]string{other.Game, other.Seat}] {
			if moved && !slices.Contains(m.before[[2]string{other.Game, other.Seat}], f) && m.isOneOfMany(j, f.rule) == i {
				return Moved{Effect: Cannot, Rule: f.rule}, true
			}
		}
	}
	return Moved{Effect: AskAgain}, moved
}

// isOneOfMany is the duty that moves of somebody who has too many with it, where it is
// another than the one at which that shows; -1: there is none.
func (m moving) isOneOfMany(i int, rule string) int {
	if rule != "day_cap" && rule != "season_cap" || m.at[i] < 0 || m.elsewhere(i) {
		return -1
	}
	day := func(at int) dates.Day { return m.then.Games[m.then.Slots[m.at[at]].Game].Day }
	for j := range m.desk.Duties {
		if m.desk.Who[j] == m.desk.Who[i] && m.at[j] >= 0 && m.elsewhere(j) && (rule == "season_cap" || day(j) == day(i)) {
			return j
		}
	}
	return -1
}

// elsewhere says whether a duty is at another time or place then.
func (m moving) elsewhere(i int) bool {
	before, then := m.desk.Plan.Games[m.desk.Plan.Slots[i].Game], m.then.Games[m.then.Slots[m.at[i]].Game]
	return before.Day != then.Day || before.Start != then.Start || before.Rink != then.Rink
}

// moves says whether any duty of a game does.
func (m moving) moves(game string) bool {
	for i, one := range m.desk.Duties {
		if one.Game == game && m.at[i] >= 0 && m.elsewhere(i) {
			return true
		}
	}
	return false
}
