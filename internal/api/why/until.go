package why

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// until returns the ledger as it counts now, without the goals, the calls and
// the whistles after a moment of play. Its fold is the game as it stood then: it
// shows who would have left when, had nothing else happened.
func until(ledger []entry.Entry, state rules.State, now rules.Moment) []entry.Entry {
	settled := make(map[string]rules.Line, len(state.Lines))
	for _, line := range state.Lines {
		settled[line.Entry] = line
	}
	regulation := len(state.Division.Periods)
	period := 0 // of the clock, while the ledger is followed
	var kept []entry.Entry
	for _, e := range ledger {
		line := settled[e.ID]
		if line.Struck {
			continue
		}
		at := line.Moment
		if stage, ok := line.Body.(entry.StageBegun); ok && stage.Stage.Play() {
			period = stage.Stage.Number
			if stage.Stage.Kind == entry.Overtime {
				period += regulation
			}
		}
		switch body := line.Body.(type) {
		case entry.Goal, entry.Penalty:
			if later(at.Period, at.Elapsed, now) {
				continue
			}
		case entry.ClockStarted, entry.ClockSet:
			continue // they say nothing about the box
		case entry.ClockStopped:
			if later(period, body.Elapsed, now) {
				continue
			}
		case entry.Amended, entry.Struck:
			continue // worked in already
		case entry.GameOpened, entry.RosterSet, entry.StageBegun, entry.TimeOut, entry.Choice, entry.SetAside, entry.Note:
		default: // the other entries say nothing here
		}
		if line.Amended {
			e.Body, e.At = line.Body, amendedAt(ledger, e.ID, at, state.Lines)
		}
		kept = append(kept, e)
	}
	return slices.Clip(kept)
}

// amendedAt is the moment of an amended entry with its place within the
// stoppage, which a line does not show.
func amendedAt(ledger []entry.Entry, id string, at rules.Moment, lines []rules.Line) entry.At {
	found := entry.At{Period: at.Period, Elapsed: at.Elapsed}
	for i := range lines {
		if line := &lines[i]; line.Kind == entry.KindAmended && line.About() == id && !line.Struck {
			found.Order = ledger[i].At.Order
		}
	}
	return found
}

func later(period int, elapsed entry.Millis, now rules.Moment) bool {
	return period > now.Period || period == now.Period && elapsed > now.Elapsed
}
