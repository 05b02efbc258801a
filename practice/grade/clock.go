package grade

import (
	"fmt"

	"whistlestop/game/entry"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// clock compares when the clock was started and stopped with when it was due.
func (g *grading) clock() {
	if g.script.Clock == entry.Follow {
		g.board()
		return
	}
	for _, a := range g.mine(entry.KindClockStarted) {
		g.started(a)
	}
	for _, a := range g.mine(entry.KindClockStopped) {
		if a.Entry.Seat != entry.Program {
			g.stopped(a)
		}
	}
	puts := g.mine(entry.KindClockSet)
	for n, a := range puts {
		if n+1 < len(puts) && g.placeOf(puts[n+1].Cue) == g.placeOf(a.Cue) {
			continue // the referee has it put again at this stoppage
		}
		g.put(a)
	}
	g.stopsInRunningTime()
}

// nearest finds the learner's touch of a kind nearest to an instant, within a
// stretch.
func (g *grading) nearest(kind entry.Kind, due, from, to entry.Millis) (tick, bool) {
	var best tick
	found := false
	for _, t := range g.line {
		if t.kind != kind || t.wall < from || t.wall > to || !t.stage.Play() || t.seat == entry.Program {
			continue
		}
		if !found || abs(t.wall-due) < abs(best.wall-due) {
			best, found = t, true
		}
	}
	return best, found
}

func (g *grading) started(a script.Answer) {
	i := g.placeOf(a.Cue)
	from, due := g.span(i)
	end := script.FarOff
	if i+1 < len(g.script.Moments) {
		end = g.shown[g.script.Moments[i+1].From]
	}
	t, found := g.nearest(entry.KindClockStarted, due, from, end)
	if !found && g.runs(due) {
		return // it was not stopped, and that is said
	}
	g.expect(plot.StartStop, worthStart)
	f := Finding{Skill: plot.StartStop, Moment: i, Want: a.Entry.ID}
	if !found {
		f.Fault = StartMissing
		g.slip(f)
		return
	}
	g.timed(f, t, t.wall-due, StartLate, StartEarly, false)
	g.grade.Times.Starts = append(g.grade.Times.Starts, t.wall-due)
}

func (g *grading) stopped(a script.Answer) {
	i := g.placeOf(a.Cue)
	due := g.shown[a.Cue]
	_, to := g.span(i)
	from := entry.Millis(0)
	if i > 0 {
		_, from = g.span(i - 1)
	}
	t, found := g.nearest(entry.KindClockStopped, due, from, to)
	if !found && !g.runs(due) {
		return // it was not started, and that is said
	}
	g.expect(plot.StartStop, worthStop)
	f := Finding{Skill: plot.StartStop, Moment: i, Want: a.Entry.ID}
	if !found {
		f.Fault = StopMissing
		g.slip(f)
		return
	}
	// Put right at the same stoppage: the clock stands where play was stopped.
	right := g.stood[max(0, i-1)].Elapsed + due - from
	if m := g.script.Moments[i]; i > 0 && g.script.Moments[i-1].At.Period != m.At.Period {
		right = due - from
	}
	late := t.wall - due
	put := abs(g.stood[i].Elapsed-right) <= script.PutClock && g.stood[i].Elapsed != t.elapsed
	g.timed(f, t, late, StopLate, StopEarly, put)
	g.grade.Times.Stops = append(g.grade.Times.Stops, late)
	if i > 0 {
		g.stoppedInPlay(i, from, due, t.id)
	}
}

// stoppedInPlay finds a stop while play goes on, from a drop to its whistle, that
// is not the whistle's own.
func (g *grading) stoppedInPlay(i int, from, due entry.Millis, own string) {
	for _, t := range g.line {
		if t.kind == entry.KindClockStopped && t.id != own && t.stage.Play() && t.seat != entry.Program &&
			t.wall > from+script.LateClock && t.wall < due-script.EarlyClock {
			g.slip(Finding{Fault: StopExtra, Skill: plot.StartStop, Moment: i, Entry: t.id})
			return
		}
	}
}

// timed says if a touch of the clock came too late or too early.
func (g *grading) timed(f Finding, t tick, late entry.Millis, tooLate, tooEarly Fault, put bool) {
	switch {
	case late > script.LateClock:
		f.Fault = tooLate
	case late < -script.EarlyClock:
		f.Fault = tooEarly
	default:
		return
	}
	f.Entry, f.Finally, f.Tenths = t.id, put, tenths(late)
	f.Reason = nil
	g.slip(f, "seconds", seconds(f.Tenths))
}

// seconds writes tenths of a second as people say them.
func seconds(tenths int) string { return fmt.Sprintf("%d.%d", tenths/10, tenths%10) }

// put checks that the clock stands where the referee had it put.
func (g *grading) put(a script.Answer) {
	g.expect(plot.PutBack, worthPut)
	i := g.placeOf(a.Cue)
	to := a.Entry.Body.(entry.ClockSet).Elapsed
	if abs(g.stood[i].Elapsed-to) <= script.PutClock {
		return
	}
	g.slip(Finding{Fault: ClockNotPut, Skill: plot.PutBack, Moment: i, Want: a.Entry.ID})
}

// stopsInRunningTime finds stops at whistles that do not stop the clock.
func (g *grading) stopsInRunningTime() {
	for i, m := range g.script.Moments {
		c := g.script.Cues[m.From]
		if m.From > g.upTo || c.Kind != script.CueWhistle || !c.Running {
			continue
		}
		g.expect(plot.RunningTime, worthStop)
		from, to := g.span(i)
		for _, t := range g.line {
			if t.kind == entry.KindClockStopped && t.wall >= from && t.wall < to && t.seat != entry.Program {
				g.slip(Finding{Fault: StopRunning, Skill: plot.RunningTime, Moment: i, Entry: t.id})
				break
			}
		}
	}
}

// board compares the times that were read from the rink's board.
func (g *grading) board() {
	read := g.lines(entry.KindBoardRead)
	for _, a := range g.mine(entry.KindBoardRead) {
		g.expect(plot.FollowBoard, worthBoard)
		i := g.placeOf(a.Cue)
		f := Finding{Skill: plot.FollowBoard, Moment: i, Want: a.Entry.ID, Fault: BoardMissing}
		want := a.Entry.Body.(entry.BoardRead).Elapsed
		from, to := g.span(i)
		right := false
		for _, l := range read {
			if l.Wall < from-script.EarlyClock || l.Wall > to {
				continue
			}
			f.Fault, f.Entry = BoardWrong, l.Entry
			if body, is := l.Body.(entry.BoardRead); is && abs(body.Elapsed-want) <= script.LateClock {
				right = true
				break
			}
		}
		if !right {
			g.slip(f)
		}
	}
}
