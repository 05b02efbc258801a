package crew

import (
	"slices"

	"whistlestop/crew/duties"
)

// heard is how often somebody was written to because others would have a duty of theirs.
type heard struct {
	held
	Count int `json:"count"`
}

// heardMost is how many messages somebody gets about one duty because others would have
// it, as with reminders. Their page shows every question. Ours.
const heardMost = 3

// swapLines are lines for those who are asked to change places and were not told yet, and
// for those whose question got a yes that they were not told of.
func (v view) swapLines(list []duties.Duty) (lines []duties.Line) {
	duty := func(h held) duties.Duty {
		return list[slices.IndexFunc(list, func(d duties.Duty) bool { return d.Game == h.Game && d.Seat == h.Seat })]
	}
	count := map[held]int{}
	for _, h := range v.more.Heard {
		count[h.held] = h.Count
	}
	for _, a := range v.more.Swaps {
		if a.Told || count[a.With] >= heardMost || !v.stands(a, list) {
			continue
		}
		get := duty(a.Of)
		lines = append(lines, duties.Line{About: duties.Swap, Duty: duty(a.With), Get: &get})
	}
	for _, a := range v.more.Swapped {
		if v.stands(a, list) {
			gave := duty(a.With)
			lines = append(lines, duties.Line{About: duties.Swapped, Duty: duty(a.Of), Get: &gave})
		}
	}
	return lines
}

// toldSwaps is a state in which people were told what messages that went out say of a
// change of places. Several questions about a duty in a message count once.
func (st state) toldSwaps(messages []duties.Message) state {
	st.more.Swaps, st.more.Heard = slices.Clone(st.more.Swaps), slices.Clone(st.more.Heard)
	for _, m := range messages {
		counted := map[held]bool{}
		for _, l := range m.Lines {
			if l.Get == nil {
				continue
			}
			theirs, other := held{l.Game, l.Seat, m.Who}, held{l.Get.Game, l.Get.Seat, l.Get.Who}
			if l.About == duties.Swapped {
				st.more.Swapped = slices.DeleteFunc(slices.Clone(st.more.Swapped), func(a swapAsk) bool { return a.is(theirs, other) })
				continue
			}
			for i, a := range st.more.Swaps {
				st.more.Swaps[i].Told = a.Told || a.is(other, theirs)
			}
			if counted[theirs] {
				continue
			}
			counted[theirs] = true
			at := slices.IndexFunc(st.more.Heard, func(h heard) bool { return h.held == theirs })
			if at < 0 {
				at = len(st.more.Heard)
				st.more.Heard = append(st.more.Heard, heard{held: theirs})
			}
			st.more.Heard[at].Count++
		}
	}
	return st
}
