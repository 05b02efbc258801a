package crew

import (
	"slices"

	"whistlestop/crew/duties"
	"whistlestop/crew/people"
)

// practised are the kinds of seat that the practice site has, in the order in which they
// are learnt.
var practised = []string{"clock", "box", "book"}

// practises is the seat that somebody practises next: that of their next duty, or else the
// first one for which they are not ready yet. Empty: there is none.
func (v view) practises(p people.Person, list []duties.Duty, slots []slot) string {
	for i, one := range list {
		if one.Who == whoOf(p) && one.Moment().Compare(v.now) > 0 && slices.Contains(practised, slots[i].seat.Kind) {
			return slots[i].seat.Kind
		}
	}
	for _, kind := range practised {
		if p.Levels[kind] == people.Learner {
			return kind
		}
	}
	return ""
}
