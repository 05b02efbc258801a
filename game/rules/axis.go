package rules

import (
	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// axis is the axis of play: the periods one after the other.
type axis []PeriodSpan

// newAxis lays out the regulation periods, the overtime periods that the
// division knows, and any period that was begun, with the lengths of the ledger
// where it names them.
func newAxis(d *rulebook.Division, begun map[int]entry.StageBegun) axis {
	abs := entry.Millis(0)
	regulation := len(d.Periods)
	last := regulation + len(d.Overtime.Periods)
	for period := range begun {
		last = max(last, period)
	}
	a := make(axis, 0, last)
	for period := 1; period <= last; period++ {
		span := PeriodSpan{Period: period, Abs: abs, Stage: playStage(d, period), Skaters: d.Skaters}
		span.Length = periodLength(d, period)
		if o, ok := overtimePeriod(d, period); ok {
			span.Skaters = o.Skaters
		}
		if b, ok := begun[period]; ok {
			span.Begun = true
			if b.Length > 0 {
				span.Length = b.Length
			}
		}
		abs += span.Length
		a = append(a, span)
	}
	return a
}

// unknownOvertime is the length of an overtime that the division does not know
// and that was begun all the same (common practice, no source).
const unknownOvertime = entry.Millis(5 * 60_000)

// overtimePeriod returns the settings of an overtime period; the last one given
// repeats.
func overtimePeriod(d *rulebook.Division, period int) (rulebook.OvertimePeriod, bool) {
	n, given := period-len(d.Periods), d.Overtime.Periods
	if n < 1 || len(given) == 0 {
		return rulebook.OvertimePeriod{}, false
	}
	return given[min(n, len(given))-1], true
}

// periodLength returns the length of a period by the division.
func periodLength(d *rulebook.Division, period int) entry.Millis {
	if period <= len(d.Periods) {
		return d.Periods[max(period, 1)-1]
	}
	if o, ok := overtimePeriod(d, period); ok {
		return o.Length
	}
	return unknownOvertime
}

// playStage returns the stage of a period's number.
func playStage(d *rulebook.Division, period int) entry.Stage {
	if n := period - len(d.Periods); n > 0 {
		return entry.Stage{Kind: entry.Overtime, Number: n}
	}
	return entry.Stage{Kind: entry.Period, Number: period}
}

// periodOf returns the period's number of a play stage.
func periodOf(d *rulebook.Division, s entry.Stage) int {
	if s.Kind == entry.Overtime {
		return len(d.Periods) + s.Number
	}
	return s.Number
}

// span returns a period. A period that is not on the axis is its last.
func (a axis) span(period int) *PeriodSpan {
	return &a[min(max(period, 1), len(a))-1]
}

// abs returns the moment on the axis. Before the game it is the start.
func (a axis) abs(at entry.At) entry.Millis {
	if at.Period < 1 {
		return 0
	}
	s := a.span(at.Period)
	return s.Abs + min(at.Elapsed, s.Length)
}

// moment returns every form of a moment. The boundary of two periods belongs to
// the later one, but for the end of the axis. What lies beyond the axis is given
// as more than the last period's length, with nothing left.
func (a axis) moment(abs entry.Millis) Moment {
	for i := len(a) - 1; i > 0; i-- {
		if abs >= a[i].Abs {
			return a[i].moment(abs)
		}
	}
	return a[0].moment(abs)
}

// momentAt keeps the period that an entry names.
func (a axis) momentAt(at entry.At) Moment {
	return a.span(at.Period).moment(a.abs(at))
}

func (s *PeriodSpan) moment(abs entry.Millis) Moment {
	elapsed := abs - s.Abs
	return Moment{Abs: abs, Period: s.Period, Elapsed: elapsed, Left: max(0, s.Length-elapsed)}
}

// late reports whether a moment is in the last window of regulation or in
// overtime.
func (a axis) late(d *rulebook.Division, at entry.At, window entry.Millis) bool {
	if window <= 0 {
		return false
	}
	regulation := len(d.Periods)
	if at.Period > regulation {
		return true
	}
	return at.Period == regulation && at.Elapsed >= a.span(at.Period).Length-window
}
