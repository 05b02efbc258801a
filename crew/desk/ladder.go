package desk

import (
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/crew/rota"
)

// The ladder of a drop-out: whom to ask when. Steps and numbers are ours: with one yes
// in five, five people asked give two in three (arithmetic on an assumed rate).
const (
	ladderLong   = 48 * 60 // minutes before the duty: before that there is time to ask few
	ladderShort  = 3 * 60  // within that everybody who is there anyway is asked, and then called
	ladderFirst  = 3
	ladderMore   = 5
	ladderWait   = 12 * 60 // minutes for an answer
	ladderHurry  = 20
	ladderAsked  = 1000 // more than anybody asks for one seat
	ladderNobody = -1
)

// Rung is what to do about an empty seat now.
type Rung struct {
	Ask  []Choice // whom to write to, the best first
	Call []Choice // whom to telephone, in order: nobody answers in time any more
	// Wait is how many minutes an answer may take before the next rung; -1: nobody is
	// left to wait for.
	Wait int
	Open int // people who were asked and have not answered
}

// Ladder says whom to ask now about a slot that nobody has: the best three a long time
// before, then five more each half day, every twenty minutes within two days, and
// within three hours everybody who is at that rink that day. The first yes has the
// seat; the others hear of it with the next messages. Nobody is asked twice.
func (d *Desk) Ladder(slot int) Rung {
	left := d.Duties[slot].Visit.Moment().After(d.Now)
	if d.Who[slot] != rota.Nobody || left <= 0 {
		return Rung{Wait: ladderNobody}
	}
	asked, last, open := d.asked(slot)
	rung := Rung{Open: open}
	var fresh, there []Choice
	for _, one := range d.Next(slot, ladderAsked) {
		if asked[whoOf(d.Plan.People[one.Person])] {
			continue
		}
		fresh = append(fresh, one)
		if d.isThere(slot, one.Person) {
			there = append(there, one)
		}
	}
	if left <= ladderShort {
		if rung.Ask = there; len(there) == 0 {
			rung.Call = fresh
		}
		rung.Wait = min(ladderHurry, left)
		return rung
	}
	count, wait := ladderMore, ladderHurry
	if left > ladderLong {
		if wait = ladderWait; len(asked) == 0 {
			count = ladderFirst
		}
	}
	if open > 0 && last != nil && d.Now.After(*last) < wait {
		rung.Wait = wait - d.Now.After(*last)
		return rung
	}
	rung.Ask = fresh[:min(count, len(fresh))]
	if rung.Wait = wait; len(rung.Ask) == 0 && open == 0 {
		rung.Wait = ladderNobody
	}
	return rung
}

// asked are the people who were asked about a slot, when the last of them was, and how
// many have not answered.
func (d *Desk) asked(slot int) (people map[duties.Who]bool, last *duties.Moment, open int) {
	one, book := d.Duties[slot], d.Log.Work()
	people = map[duties.Who]bool{}
	for i, e := range d.Log.Events {
		if e.Game != one.Game || e.Seat != one.Seat {
			continue
		}
		if e.Kind == duties.Declined {
			people[e.Who] = true // whoever dropped out too
		}
		if e.Kind != duties.Asked || e.Told == nil || *e.Told != one.Visit {
			continue
		}
		people[e.Who], last = true, &d.Log.Events[i].At
	}
	for who := range people {
		if book.Of(one.Game, one.Seat, who).Status == duties.Waiting {
			open++
		}
	}
	return people, last, open
}

// isThere says whether somebody is at the rink of a slot that day: on duty, or with a
// team of the family's own.
func (d *Desk) isThere(slot, person int) bool {
	game := d.Plan.Games[d.Plan.Slots[slot].Game]
	same := func(g int) bool { return d.Plan.Games[g].Day == game.Day && d.Plan.Games[g].Rink == game.Rink }
	for s, v := range d.Who {
		if v == person && same(d.Plan.Slots[s].Game) {
			return true
		}
	}
	for g, one := range d.Plan.Games {
		if same(g) && slices.ContainsFunc(d.Plan.People[person].Teams, func(team string) bool { return slices.Contains(one.Teams, team) }) {
			return true
		}
	}
	return false
}
