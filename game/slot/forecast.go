package slot

import (
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Settings are what a forecast is asked for.
type Settings struct {
	SlotStart  entry.Millis // instant; 0: when the first warm-up, or the first stage, was begun
	SlotLength entry.Millis // 0: the division's
	Seed       uint64
	Runs       int // how often the rest is played; 0: runsUsual, at most runsMost
}

const (
	runsUsual = 400
	runsMost  = 5000
)

// Outlook is a forecast. Instants are milliseconds of Unix time.
type Outlook struct {
	Early  entry.Millis `json:"early_ms"`  // one in ten games ends before it
	Likely entry.Millis `json:"likely_ms"` // one in two
	Late   entry.Millis `json:"late_ms"`   // nine in ten

	SlotStart entry.Millis `json:"slot_start_ms"` // 0: not known
	SlotEnd   entry.Millis `json:"slot_end_ms"`   // 0: no slot is known
	Over      bool         `json:"over"`          // the likely end is after the slot's
	By        entry.Millis `json:"by_ms"`         // by so much; negative is time to spare

	Notice  *rules.Say  `json:"notice,omitempty"` // only when it is over
	Choices []rules.Say `json:"choices"`          // what the division and the referee may do then

	Stoppages int          `json:"stoppages"`         // of this game that it is drawn from
	Usual     entry.Millis `json:"usual_stoppage_ms"` // the median of what is drawn
	Every     entry.Millis `json:"play_between_ms"`   // play from one stoppage to the next
}

// Forecast plays the rest of the game and says when it will likely end. A game
// that is over ends now.
func Forecast(state rules.State, now entry.Millis, set Settings) Outlook {
	seen := observe(state, now)
	o := Outlook{Choices: []rules.Say{}, Stoppages: len(seen.lengths), Usual: seen.usual(), Every: seen.every()}
	runs := min(set.Runs, runsMost)
	if runs <= 0 {
		runs = runsUsual
	}
	ends := make([]entry.Millis, runs)
	rest := remaining(state, now)
	for i := range ends {
		r := run{seen: seen, state: state, now: now, seed: mix(set.Seed, uint64(i))}
		ends[i] = now + r.play(rest)
	}
	slices.Sort(ends)
	o.Early, o.Likely, o.Late = at(ends, 10), at(ends, 50), at(ends, 90)
	o.SlotStart = set.SlotStart
	if o.SlotStart == 0 {
		o.SlotStart = begun(state)
	}
	if o.SlotEnd = slotEnd(state, set, o.SlotStart); o.SlotEnd == 0 {
		return o
	}
	o.By = o.Likely - o.SlotEnd
	o.Over = o.By > 0 && state.Stage.Kind != entry.Over
	if o.Over {
		o.Notice = &rules.Say{Key: "slot.over", Args: rules.Pairs("minutes", strconv.Itoa(int((o.By+59_999)/60_000)))}
		o.Choices = choices(state, now, o.SlotEnd)
	}
	return o
}

// slotEnd is when the ice time ends: as it is asked for, as somebody at the bench
// said, or as the division says; 0 where nobody does.
func slotEnd(state rules.State, set Settings, start entry.Millis) entry.Millis {
	length := set.SlotLength
	if length == 0 {
		if state.Bench.SlotEnd > 0 && set.SlotStart == 0 {
			return state.Bench.SlotEnd
		}
		length = state.Division.Slot.Length
	}
	if start == 0 || length == 0 {
		return 0
	}
	return start + length
}

// at returns a percentile of sorted instants: the least that so many in a
// hundred are not above.
func at(sorted []entry.Millis, percent int) entry.Millis {
	return sorted[max(0, (len(sorted)*percent+99)/100-1)]
}

// begun is when the ice time began, as far as the ledger knows: with the first
// warm-up, or with the first stage at all.
func begun(state rules.State) entry.Millis {
	first := entry.Millis(0)
	for _, line := range state.Lines {
		body, ok := line.Body.(entry.StageBegun)
		switch {
		case !ok || line.Struck:
		case body.Stage.Kind == entry.WarmUp:
			return line.Wall
		case first == 0:
			first = line.Wall
		}
	}
	return first
}
