package bench

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// LateMost is how long ago a clock may have been touched, in milliseconds: a
// phone may lose the network for ten minutes, and no game time is lost by that.
// An older start or stop counts from that long before it arrived; one from
// before the clock's anchor counts from the anchor. The error bound grows by
// what was cut off, so that every screen can say how sure the clock is.
const LateMost entry.Millis = 10 * 60_000

// lateSaid is how late a start or stop may arrive before people are told to look
// at the clock with the referee.
const lateSaid entry.Millis = 5000

// fillIn completes drafts with what the bench knows: the instants are kept out of
// the future, starts and stops get the position of the clock at their instant,
// and a moment of the game that was left open (period 0) becomes the moment at
// which the clock stood. It numbers the entries and does not chain them. The
// notes tell people what was changed in a way that matters to them.
//
// Each draft is filled as if those before it were posted, so that "stop, then a
// goal" puts the goal where the clock was stopped: then gives the state after
// some. It may write behind the end of the ledger.
func fillIn(
	ledger []entry.Entry, state rules.State, drafts []entry.Entry, now entry.Millis,
	then func(filled []entry.Entry) rules.State,
) (filled []entry.Entry, notes []rules.Say) {
	all := ledger
	filled = make([]entry.Entry, 0, len(drafts))
	for i, d := range drafts {
		d.Seq, d.Prev = len(ledger)+i+1, ""
		var note *rules.Say
		d, note = fillOne(all, state, d, now)
		if note != nil {
			notes = append(notes, *note)
		}
		if filled = append(filled, d); i+1 == len(drafts) {
			break
		}
		all = append(all, d)
		if touchesClock(d.Kind()) || d.Kind() == entry.KindGameOpened {
			state = then(filled) // what cannot be folded is refused in full later on
		}
	}
	return filled, notes
}

// touchesClock reports whether an entry of the kind moves or sets a clock.
func touchesClock(k entry.Kind) bool { return k.About().Fill != entry.NoClock }

func fillOne(
	ledger []entry.Entry, state rules.State, d entry.Entry, now entry.Millis,
) (entry.Entry, *rules.Say) {
	d.Wall = min(d.Wall, now)
	said := d.Wall
	if len(ledger) > 0 {
		d.Wall = max(d.Wall, notAhead(ledger[0].Wall, now))
	}
	// A ledger that was written under another time of day may be dated ahead of
	// now. That counts for nothing: its clock stands, or is doubted.
	touched := notAhead(state.Clock.Wall, now)
	switch body := d.Body.(type) {
	case entry.ClockStarted:
		late, note := clampTouched(&d, said, state, now)
		body.Elapsed = state.Clock.At(d.Wall)
		body.Error = min(body.Error+late, boundMost)
		d.Body, d.At = body, where(state, d.Wall)
		return d, note
	case entry.ClockStopped:
		late, note := clampTouched(&d, said, state, now)
		body.Elapsed = state.Clock.At(d.Wall)
		body.Error = min(body.Error+late, boundMost)
		d.Body, d.At = body, where(state, d.Wall)
		return d, note
	case entry.ClockSet:
		d.Wall = max(d.Wall, touched)
		d.At = where(state, d.Wall)
		if state.Stage.Play() {
			d.At.Elapsed = body.Elapsed
		}
	case entry.BoardRead:
		d.Wall = max(d.Wall, touched)
		d.At = where(state, d.Wall)
		if state.Stage.Play() {
			d.At.Elapsed = body.Elapsed
		}
	case entry.StageBegun:
		d.Wall = max(d.Wall, touched)
		d.At = where(state, d.Wall)
		if span, ok := spanOf(state, body.Stage); ok {
			d.At = entry.At{Period: span}
		}
	case entry.TimeOut:
		d.Wall = max(d.Wall, touched)
		if d.At.Period == 0 {
			d.At = where(state, d.Wall)
		}
	case entry.Amended:
		if d.At.Period == 0 {
			d.At = amendedAt(ledger, state, d.Of)
		}
	default:
		if d.At.Period == 0 {
			d.At = where(stateThen(ledger, state, d.Wall), d.Wall)
		}
	}
	return d, nil
}

// stateThen is the game as it stood at an instant: what a device entered while it
// was out of reach belongs to the period that was played then, and to whoever
// kept goal. Only what was entered before the clock was touched last needs it.
func stateThen(ledger []entry.Entry, state rules.State, wall entry.Millis) rules.State {
	if wall >= state.Clock.Wall {
		return state
	}
	for i, e := range ledger {
		if i == 0 || e.Wall <= wall || !touchesClock(e.Kind()) || edits(e.Kind()) {
			continue
		}
		// What cannot be folded is refused in full later on.
		if then, err := rules.Fold(ledger[:i]); err == nil {
			return then
		}
		break
	}
	return state
}

// clampTouched keeps the instant of a start or stop between the anchor and now,
// and not more than LateMost ago. It returns how far that is from the instant that
// was said: also where the game was opened later than that,
// because the time of day was set in between.
func clampTouched(d *entry.Entry, said entry.Millis, state rules.State, now entry.Millis) (late entry.Millis, note *rules.Say) {
	d.Wall = max(d.Wall, notAhead(state.Clock.Wall, now), now-LateMost)
	if ago := now - said; ago > lateSaid {
		n := say("bench.late_clock", "ago", seconds(ago))
		note = &n
	}
	return d.Wall - said, note
}

// boundMost is the largest bound that an entry may have, longer than any stage.
const boundMost entry.Millis = 5 * 60 * 60_000

// notAhead is an instant that others may not lie before, or none at all where it
// has not come yet: it was written under another time of day.
func notAhead(wall, now entry.Millis) entry.Millis {
	if wall > now {
		return 0
	}
	return wall
}

func seconds(m entry.Millis) string {
	return strconv.FormatInt(int64((m+999)/1000), 10)
}

// spanOf returns the number of the period that a stage of play is.
func spanOf(state rules.State, stage entry.Stage) (period int, ok bool) {
	if !stage.Play() {
		return 0, false
	}
	if stage.Kind == entry.Overtime {
		return len(state.Division.Periods) + stage.Number, true
	}
	return stage.Number, true
}

// where returns the moment of the game at an instant. Outside of play it is
// where play stands: the position at which the newest period was left. Before
// the first period it is period 0.
func where(state rules.State, wall entry.Millis) entry.At {
	if period, ok := spanOf(state, state.Stage); ok {
		return entry.At{Period: period, Elapsed: state.Clock.At(wall)}
	}
	begun := false
	for _, span := range state.Periods {
		begun = begun || span.Begun
	}
	if !begun {
		return entry.At{}
	}
	for i := len(state.Lines) - 1; i >= 0; i-- {
		line := state.Lines[i]
		if !line.Struck && clockLine(line.Kind) {
			return entry.At{Period: line.Moment.Period, Elapsed: line.Moment.Elapsed}
		}
	}
	return entry.At{}
}

// clockLine reports whether entries of the kind always say where play stood.
func clockLine(k entry.Kind) bool { return k.About().Fill == entry.Shows }

// amendedAt returns the moment of the entry that an amendment is about, as it
// counts now: an amendment that says no moment leaves it alone. An amendment of
// an amendment is about the entry at the root.
func amendedAt(ledger []entry.Entry, state rules.State, of string) entry.At {
	root := state.About(of)
	var at entry.At
	for i, e := range ledger {
		amends := e.Kind() == entry.KindAmended && i < len(state.Lines)
		if e.ID == root || amends && state.Lines[i].About() == root && !state.Lines[i].Struck {
			at = e.At
		}
	}
	return at
}
