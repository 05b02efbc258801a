package bench

import (
	"bytes"

	"whistlestop/game/entry"
)

// same reports whether a draft says what a posted entry says. What the bench
// filled in cannot be compared: the instant, the position of a start or stop,
// and a moment that the draft left open.
func same(draft, posted entry.Entry) bool {
	draft, posted = comparable(draft), comparable(posted)
	if draft.At.Period == 0 || touchesClock(draft.Kind()) && draft.Kind() != entry.KindAmended {
		draft.At, posted.At = entry.At{}, entry.At{}
	}
	a, errA := draft.MarshalJSON()
	b, errB := posted.MarshalJSON()
	return errA == nil && errB == nil && bytes.Equal(a, b)
}

// comparable leaves out what the bench fills in.
func comparable(e entry.Entry) entry.Entry {
	e.Seq, e.Prev, e.Wall = 0, "", 0
	e.Apart, e.Was = nil, "" // a draft says the same in plain text
	switch e.Body.(type) {
	case entry.ClockStarted:
		e.Body = entry.ClockStarted{}
	case entry.ClockStopped:
		e.Body = entry.ClockStopped{}
	default: // the other entries say nothing here
	}
	return e
}
