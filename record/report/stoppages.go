package report

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// stoppages lists the whistles of play as the clock tells them, put right as the
// fold does it: a clock that was set back takes out the whistles after that
// time, and one that ran on moves the newest one.
func stoppages(s *rules.State) []entry.At {
	w := &whistles{regulation: len(s.Division.Periods), stops: []entry.At{}}
	for i := range s.Lines {
		if l := &s.Lines[i]; !l.Struck {
			w.step(l.Body)
		}
	}
	slices.SortStableFunc(w.stops, entry.At.Compare)
	return slices.Compact(w.stops)
}

// whistles follows the clock.
type whistles struct {
	regulation int
	stage      entry.Stage
	running    bool
	beside     bool
	elapsed    entry.Millis
	stops      []entry.At
}

func (w *whistles) step(body entry.Body) {
	switch b := body.(type) {
	case entry.StageBegun:
		w.stage, w.running, w.elapsed = b.Stage, b.Running && b.Length > 0, 0
	case entry.ClockStarted:
		w.running, w.elapsed = true, b.Elapsed
	case entry.ClockStopped:
		w.stop(b.Elapsed)
	case entry.ClockSet:
		if b.Moves && !w.running {
			w.move(b.Elapsed)
		}
		w.forgetAfter(b.Elapsed)
		w.elapsed = b.Elapsed
	case entry.BoardRead:
		if w.beside && !w.running {
			w.move(b.Elapsed)
		}
		w.stop(b.Elapsed)
	case entry.BenchSet:
		w.beside = b.Clock == entry.Beside
	default: // the other entries say nothing here
	}
}

func (w *whistles) at(elapsed entry.Millis) entry.At {
	period := w.stage.Number
	if w.stage.Kind == entry.Overtime {
		period += w.regulation
	}
	return entry.At{Period: period, Elapsed: elapsed}
}

func (w *whistles) stop(elapsed entry.Millis) {
	w.running, w.elapsed = false, elapsed
	if w.stage.Play() {
		w.stops = append(w.stops, w.at(elapsed))
	}
}

func (w *whistles) move(to entry.Millis) {
	if !w.stage.Play() {
		return
	}
	if n := len(w.stops); n > 0 && w.stops[n-1] == w.at(w.elapsed) {
		w.stops = w.stops[:n-1]
	}
	w.stops = append(w.stops, w.at(to))
}

func (w *whistles) forgetAfter(elapsed entry.Millis) {
	if !w.stage.Play() {
		return
	}
	before, last := len(w.stops), w.at(elapsed)
	w.stops = slices.DeleteFunc(w.stops, func(at entry.At) bool {
		return at.Period == last.Period && at.Elapsed > elapsed
	})
	if len(w.stops) < before && !w.running {
		w.stops = append(w.stops, last)
	}
}
