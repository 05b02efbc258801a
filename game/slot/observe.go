package slot

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// observed is what this game has shown of itself.
type observed struct {
	lengths []entry.Millis // of its stoppages, shortest first
	play    entry.Millis   // stop time that was played
	stops   int
}

// observe reads the stoppages from the starts and stops of the clock in periods
// that are played in stop time.
func observe(state rules.State, now entry.Millis) observed {
	var o observed
	var stage entry.Stage
	var started, stopped *rules.Line
	for i := range state.Lines {
		line := &state.Lines[i]
		if line.Struck {
			continue
		}
		switch body := line.Body.(type) {
		case entry.StageBegun:
			stage, started, stopped = body.Stage, nil, nil
		case entry.ClockStarted:
			if stopped != nil && stage.Play() && !running(state, stage) {
				if length := line.Wall - stopped.Wall; length > 0 && length <= longest {
					o.lengths = append(o.lengths, length)
				}
			}
			started, stopped = line, nil
		case entry.ClockStopped:
			if started != nil && stage.Play() && !running(state, stage) {
				o.play += max(0, line.Wall-started.Wall)
				o.stops++
			}
			started, stopped = nil, line
		case entry.TimeOut, entry.Delay:
			stopped = nil // the pause is longer for a reason of its own
		default: // the other entries say nothing here
		}
	}
	if started != nil && stage.Play() && !running(state, stage) {
		o.play += max(0, now-started.Wall)
	}
	slices.Sort(o.lengths)
	return o
}

// every is the play from one stoppage to the next, of this game and of games in
// general together.
func (o observed) every() entry.Millis {
	n := entry.Millis(typicalWeight)
	return (n*typicalEvery + o.play) / (n + entry.Millis(o.stops))
}

// draw draws the length of a stoppage: one of this game, the more often the more
// there are, or a typical one.
func (o observed) draw(random uint64) entry.Millis {
	n := uint64(len(o.lengths))
	if random%(n+typicalWeight) < n {
		return o.lengths[mix(random, 1)%n]
	}
	return pick(typicalLengths, mix(random, 1))
}

// usual is the median of what is drawn.
func (o observed) usual() entry.Millis {
	var all []entry.Millis
	for range len(typicalLengths) {
		all = append(all, o.lengths...)
	}
	for range typicalWeight {
		all = append(all, typicalLengths...)
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// running reports whether the clock of a stage runs through stoppages, as far as
// is known now.
func running(state rules.State, stage entry.Stage) bool {
	if state.Bench.RunningTime {
		return true
	}
	d := state.Division
	if stage.Kind == entry.Overtime {
		n := min(stage.Number, len(d.Overtime.Periods))
		return n > 0 && d.Overtime.Periods[n-1].Running
	}
	return d.Clock.Running && (len(d.Clock.RunningPeriods) == 0 || slices.Contains(d.Clock.RunningPeriods, stage.Number))
}

func pick(list []entry.Millis, random uint64) entry.Millis { return list[random%uint64(len(list))] }

// mix makes one evenly spread number of two (the finalizer of SplitMix64, from
// memory). Chance is drawn by place instead of in turn: what is drawn for one
// second of play does not depend on how much play there was before it.
func mix(a, b uint64) uint64 {
	z := a*0x9e3779b97f4a7c15 + b + 0x632be59bd9b4e019
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
