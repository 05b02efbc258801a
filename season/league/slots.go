package league

import (
	"cmp"
	"slices"

	"whistlestop/game/dates"
	"whistlestop/game/message"
)

// Slot is an ice slot: one sheet, a start and a length.
type Slot struct {
	Rink    int // its place in League.Rinks
	Sheet   int // from 1
	Day     dates.Day
	Start   dates.Clock
	Minutes int
	For     []string // divisions; none: all
}

const dayMinutes = 24 * 60

// Begin is when the slot begins, in minutes from the first of Day on the rink's clock.
func (s Slot) Begin() int { return int(s.Day)*dayMinutes + int(s.Start) }

// End is the first minute after the slot.
func (s Slot) End() int { return s.Begin() + s.Minutes }

// Named is a slot as people name it, for the gap of a sentence.
func (l League) Named(s Slot) string {
	return message.Nested("league_file.slot", "rink", l.Rinks[s.Rink].Name, "sheet", s.Sheet, "day", s.Day, "start", s.Start)
}

// Slots is all ice that the league has, in the order of time, rink and sheet. Days
// on which nobody plays have none.
func (l League) Slots() []Slot {
	var slots []Slot
	for _, ice := range l.Ice {
		rink := slices.IndexFunc(l.Rinks, func(r Rink) bool { return r.ID == ice.Rink })
		for _, day := range l.days(ice) {
			for _, start := range ice.Start {
				slots = append(slots, Slot{Rink: rink, Sheet: ice.Sheet, Day: day, Start: start, Minutes: ice.Minutes, For: ice.For})
			}
			if len(slots) > slotsMost {
				return slots // refused by whoever reads the file
			}
		}
	}
	slices.SortStableFunc(slots, func(a, b Slot) int {
		return cmp.Or(cmp.Compare(a.Begin(), b.Begin()), cmp.Compare(a.Rink, b.Rink), cmp.Compare(a.Sheet, b.Sheet))
	})
	return slots
}

// days are the days of some ice.
func (l League) days(ice Ice) []dates.Day {
	from, to := l.From, l.To
	if ice.From != nil {
		from = max(from, *ice.From)
	}
	if ice.To != nil {
		to = min(to, *ice.To)
	}
	if ice.On != nil {
		from, to = max(from, *ice.On), min(to, *ice.On)
	}
	var days []dates.Day
	for day := from; day <= to; day++ {
		wrongDay := ice.Every != nil && dates.Weekday(day.Weekday()) != *ice.Every
		if wrongDay || slices.Contains(ice.Except, day) || slices.ContainsFunc(l.Closed, func(s Span) bool { return s.Covers(day) }) {
			continue
		}
		days = append(days, day)
	}
	return days
}
