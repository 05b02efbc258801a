package desk

import (
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
	"whistlestop/crew/rota"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
)

// firstWithin is how many days somebody new waits for their first duty at most: ours,
// after a helpline that lost those who had got no shift in two months (one case).
const firstWithin = 28

// FirstBy is the day by which somebody new has their first duty: four weeks after they
// were ready or, where that is past, four weeks from today.
func FirstBy(since, today dates.Day) dates.Day {
	if since+firstWithin < today {
		return today + firstWithin
	}
	return since + firstWithin
}

// Newcomer is somebody new who had no duty yet.
type Newcomer struct {
	Person int       // of the plan
	Since  dates.Day // when they were ready
	By     dates.Day // by when their first duty was wanted
	Slot   int       // of the plan: the first duty that they have by the rota; -1: none
	Guide  int       // who guides them there; rota.Nobody: no one does
	Could  []int     // slots that nobody has and that they could take beside a guide in time
}

// InTime says whether they have a first duty within four weeks.
func (n Newcomer) InTime(plan *seating.Plan) bool {
	return n.Slot >= 0 && plan.Games[plan.Slots[n.Slot].Game].Day <= n.By
}

// Had are the people who had a duty already: it began, and nobody says that they did
// not come.
func Had(list []duties.Duty, log duties.Log, now duties.Moment) map[duties.Who]bool {
	had, book := map[duties.Who]bool{}, log.Work()
	for _, one := range book.Came() {
		had[one.Who] = true
	}
	for _, one := range list {
		if one.Name != "" && one.Visit.Moment().Compare(now) <= 0 && book.Of(one.Game, one.Seat, one.Who).Mark != duties.Missed {
			had[one.Who] = true
		}
	}
	return had
}

// Welcome makes a rota of a plan give everybody new a first duty within four weeks,
// beside a guide.
func Welcome(plan *seating.Plan, had map[duties.Who]bool, today dates.Day) {
	for i, one := range plan.People {
		if one.Since != nil && !had[whoOf(one)] {
			plan.Welcome(i, today, FirstBy(*one.Since, today))
		}
	}
}

// couldMost is how many slots are proposed to somebody new.
const couldMost = 3

// Newcomers are those who are new and, by who had one, without a duty yet, in the order
// of the plan.
func (d *Desk) Newcomers(had map[duties.Who]bool) []Newcomer {
	book := d.Log.Work()
	var list []Newcomer
	for i, one := range d.Plan.People {
		if one.Since == nil || had[whoOf(one)] || book.Staying(whoOf(one)) == duties.No {
			continue
		}
		n := Newcomer{Person: i, Since: *one.Since, By: *one.Since + firstWithin, Slot: -1, Guide: rota.Nobody}
		for slot, v := range d.Who {
			if v == i && !d.begun(slot) {
				n.Slot, n.Guide = slot, d.guide(slot)
				break
			}
		}
		if !n.InTime(d.Plan) {
			n.Could = d.firstSlots(i, FirstBy(n.Since, d.Now.Day))
		}
		list = append(list, n)
	}
	return list
}

// guide is who guides at the game of a slot, beside its person.
func (d *Desk) guide(slot int) int {
	for s, v := range d.Who {
		if s != slot && v != rota.Nobody && d.Plan.Slots[s].Game == d.Plan.Slots[slot].Game && d.Plan.People[v].Levels[d.Plan.Slots[s].Seat.Kind] == people.Guide {
			return v
		}
	}
	return rota.Nobody
}

// firstSlots are slots that somebody could take beside a guide, by a day.
func (d *Desk) firstSlots(person int, by dates.Day) []int {
	list := slices.DeleteFunc(rota.Could(d.Plan.Problem, d.Who, person), func(slot int) bool {
		return d.begun(slot) || d.Plan.Games[d.Plan.Slots[slot].Game].Day > by || d.guide(slot) == rota.Nobody
	})
	return list[:min(len(list), couldMost)]
}
