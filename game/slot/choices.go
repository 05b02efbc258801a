package slot

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// choices lists what can be done about a game that will not end within its ice
// time: what the division says first, then what only the referee can order.
func choices(state rules.State, now, end entry.Millis) []rules.Say {
	list := []rules.Say{}
	add := func(key string, pairs ...string) {
		list = append(list, rules.Say{Key: key, Args: rules.Pairs(pairs...)})
	}
	d := state.Division
	left := max(0, end-now)
	last := len(d.Periods)
	inLast := state.Stage.Play() && (state.Stage.Kind == entry.Overtime || state.Stage.Number >= last)
	if d.Slot.LastHalf && !inLast {
		add("slot.last_half", "period", "@stage.period."+strconv.Itoa(last))
	}
	if d.Slot.LastHalf && state.Stage == (entry.Stage{Kind: entry.Intermission, Number: last - 1}) {
		add("slot.last_half_now", "minutes", strconv.Itoa(lastPeriod(d, left)))
	}
	switch d.Slot.Action {
	case rulebook.SlotSetAndRun:
		add("slot.set_and_run", "time", left.String())
	case rulebook.SlotRun:
		add("slot.run_out", "time", left.String())
	case rulebook.SlotEnd:
		add("slot.end")
	case rulebook.SlotUnsaid:
		// the referee decides
	}
	if d.Running.Lead > 0 && !state.Bench.RunningTime {
		add("slot.running", "lead", strconv.Itoa(d.Running.Lead))
	}
	if len(d.Overtime.Periods) > 0 && d.Overtime.IfSlotAllows {
		add("slot.no_overtime")
	}
	if rest := intermissions(state, now); rest > 0 {
		add("slot.shorter", "time", rest.String())
	}
	add("slot.referee")
	return list
}

// lastPeriod is the length in minutes of a last period that is half of the ice
// time left, rounded down, and if the division says so not more than its own.
func lastPeriod(d rulebook.Division, left entry.Millis) int {
	minutes := int(left / 2 / 60_000)
	if d.Slot.LastAtMost && len(d.Periods) > 0 {
		minutes = min(minutes, int(d.Periods[len(d.Periods)-1]/60_000))
	}
	return minutes
}

// intermissions is how much of them is still to come.
func intermissions(state rules.State, now entry.Millis) (sum entry.Millis) {
	for _, l := range remaining(state, now) {
		if l.stage.Kind == entry.Intermission {
			sum += l.length
		}
	}
	return sum
}
