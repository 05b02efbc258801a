package rules

import "whistlestop/game/entry"

// doubt: nobody knows what the clock shows. One tap takes each reading that it
// may have; any other time is set as the referee says it.
func (h holding) doubt() {
	c := h.state.Clock
	if c.Doubt == nil {
		return
	}
	item := Item{Key: "doubt/" + c.Doubt.Entry, Entry: c.Doubt.Entry, Say: doubtSay(c)}
	taps := h.readings()
	item.Settle, item.SettleKind = taps[0].Settle, taps[0].SettleKind
	if len(c.Doubt.Readings) > 0 {
		item.SettleSay, item.Others = &taps[0].Say, taps[1:]
	}
	h.add(item)
}

// readings are the taps that take a reading of the clock, each time once. The
// last that is known comes first: it needs no belief in any clock.
func (h holding) readings() []Tap {
	c := h.state.Clock
	all := append([]entry.ClockReading{{By: entry.LastKnown, Elapsed: c.Elapsed}}, c.Doubt.Readings...)
	var taps []Tap
	said := map[entry.Millis]bool{}
	for _, r := range all {
		if said[r.Elapsed] {
			continue
		}
		said[r.Elapsed] = true
		taps = append(taps, Tap{
			Say:    Say{Key: "tap.clock." + string(r.By), Args: Pairs("time", clockLeft(c, r.Elapsed))},
			Settle: entry.ClockSet{Elapsed: r.Elapsed}, SettleKind: entry.KindClockSet,
		})
	}
	return taps
}

func clockLeft(c Clock, elapsed entry.Millis) string { return max(0, c.Length-elapsed).Left() }

// doubtSay says what happened to the clock.
func doubtSay(c Clock) Say {
	d, time := c.Doubt, clockLeft(c, c.Elapsed)
	switch d.Why {
	case entry.Slept:
		return Say{Key: "hold.doubt", Args: Pairs("time", time, "asleep", d.Asleep.Left())}
	case entry.Stepped:
		count, unit := Span(d.Step)
		key := "hold.doubt.forward"
		if d.Step < 0 {
			key = "hold.doubt.back"
		}
		return Say{Key: key, Args: Pairs("time", time, "count", count, "unit", unit)}
	case entry.Restarted:
		return Say{Key: "hold.doubt.restarted", Args: Pairs("time", time)}
	case entry.NotYet:
		count, unit := Span(d.Kept - d.Found)
		return Say{Key: "hold.doubt.not_yet", Args: Pairs("time", time, "count", count, "unit", unit)}
	case entry.Moved:
		return Say{Key: "hold.doubt.moved", Args: Pairs("time", time)}
	}
	return Say{Key: "hold.doubt.restarted", Args: Pairs("time", time)}
}

// Span is a length of time in the largest unit of which there are two.
func Span(long entry.Millis) (count, unit string) {
	long = max(long, -long)
	for _, u := range []struct {
		name string
		long entry.Millis
	}{{"days", 86_400_000}, {"hours", 3_600_000}, {"minutes", 60_000}} {
		if long >= 2*u.long {
			return number(int(long / u.long)), "@unit." + u.name
		}
	}
	return number(int(long / 1000)), "@unit.seconds"
}
