package desk

import (
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/message"
)

// Swaps are the slots whose people could change places with the one of a slot, so
// that every rule holds, the best first. Duties that began are not among them.
func (d *Desk) Swaps(slot int) []int {
	if d.begun(slot) {
		return nil
	}
	var list []int
	for _, one := range rota.Swaps(d.Plan.Problem, d.Who, slot) {
		if !d.begun(one.Slot) {
			list = append(list, one.Slot)
		}
	}
	return list
}

func (d *Desk) begun(slot int) bool { return d.Duties[slot].Visit.Moment().Compare(d.Now) <= 0 }

// Barrier is what keeps somebody from a seat: a reason of their own, or a rule.
type Barrier struct {
	Slot, Person int
	Reason       seating.Reason // or
	Rule         string         // of rota.Fault
}

// Swap lets the people of two slots change places, as both of them said: they have
// accepted then. It changes nothing where a rule forbids it, and says which; it fails
// where there are no two people, or a duty has begun.
func (d *Desk) Swap(one, other int) ([]Barrier, error) {
	a, b := d.Who[one], d.Who[other]
	switch {
	case a == rota.Nobody || b == rota.Nobody || a == b:
		return nil, message.New("command.crew.swap_two")
	case d.begun(one) || d.begun(other):
		return nil, message.New("command.crew.swap_begun")
	}
	var barriers []Barrier
	for slot, person := range map[int]int{one: b, other: a} {
		if reason := d.Plan.Why(slot, person); reason != "" {
			barriers = append(barriers, Barrier{slot, person, reason, ""})
		}
	}
	slices.SortFunc(barriers, func(x, y Barrier) int { return x.Slot - y.Slot })
	with := slices.Clone(d.Who)
	with[one], with[other] = b, a
	if len(barriers) == 0 {
		before := rota.Check(d.Plan.Problem, d.Who)
		for _, fault := range rota.Check(d.Plan.Problem, with) {
			if !slices.Contains(before, fault) {
				barriers = append(barriers, Barrier{Slot: fault.Slot, Person: with[fault.Slot], Rule: fault.Rule})
			}
		}
	}
	if len(barriers) > 0 {
		return barriers, nil
	}
	d.Who = with
	for _, slot := range []int{one, other} {
		d.note(duties.Released, d.Duties[slot])
	}
	for _, slot := range []int{one, other} {
		d.Duties[slot].Who = whoOf(d.Plan.People[with[slot]])
		d.note(duties.Accepted, d.Duties[slot])
	}
	return nil, nil
}

// note adds to the log that something happened with a duty now.
func (d *Desk) note(kind duties.Kind, one duties.Duty) {
	visit := one.Visit
	d.Log.Events = append(d.Log.Events, duties.Event{Kind: kind, At: d.Now, Game: one.Game, Seat: one.Seat, Who: one.Who, Told: &visit})
}
