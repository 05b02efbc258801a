package sim

import (
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// act lets a seat do what its person may do at this moment, as far as its screen
// tells, and plans the next.
func (s *seat) act() {
	if s.w.healed {
		return
	}
	s.w.after(s.w.between(300*time.Millisecond, 18*time.Second)*time.Duration(len(s.w.seats))/2, s.act)
	if s.state == nil || len(s.waiting) > 20 {
		return
	}
	switch s.kind {
	case entry.ClockSeat:
		s.workClock()
	case entry.BookSeat:
		s.workBook()
	case entry.ShotsSeat:
		s.post(entry.Shots{Side: s.side(), Count: 1 + s.w.random.IntN(3)})
	case entry.BoxSeat:
		s.post(entry.Seated{Side: s.side(), Player: s.player(), In: s.w.chance(50)})
	case entry.Solo, entry.VoiceSeat, entry.Program: // nobody sits there
	}
}

func (s *seat) side() entry.Side { return entry.Sides[s.w.random.IntN(2)] }

func (s *seat) player() entry.Jersey { return entry.Jersey(strconv.Itoa(2 + s.w.random.IntN(6))) }

// workClock starts, stops, puts right and goes on to the next stage.
func (s *seat) workClock() {
	_, bound, known := s.benchNow()
	clock := s.state.Clock
	out := clock.Length > 0 && clock.Elapsed >= clock.Length
	switch {
	case !known || len(s.waiting) > 3:
	case clock.Running && s.w.chance(70):
		s.post(entry.ClockStopped{Error: bound})
	case clock.Running:
		s.post(entry.Note{Text: "play goes on"})
	case clock.Doubt != nil:
		s.post(entry.ClockSet{Elapsed: min(clock.Length, clock.Elapsed+entry.Millis(s.w.random.IntN(5000)))})
	case s.state.Stage.Play() && !out && s.w.chance(5):
		s.post(entry.ClockSet{Elapsed: entry.Millis(s.w.random.Int64N(int64(clock.Length) + 1))})
	case s.state.Stage.Play() && !out && s.w.chance(5):
		s.post(entry.TimeOut{Side: s.side(), Length: entry.Clock(0, 30)})
	case clock.Length > 0 && !out:
		s.post(entry.ClockStarted{Error: bound})
	case len(s.state.Next) > 0:
		next := s.state.Next[s.w.random.IntN(min(2, len(s.state.Next)))]
		s.post(entry.StageBegun{Stage: next.Stage, Length: next.Length, Running: next.Running})
	}
}

// workBook enters goals and calls, alone or several of a stoppage together, and
// puts earlier ones right.
func (s *seat) workBook() {
	var bodies []entry.Body
	for range 1 + s.w.random.IntN(2) {
		if s.w.chance(30) {
			bodies = append(bodies, entry.Goal{Side: s.side(), Scorer: s.player(), Unassisted: s.w.chance(50)})
			continue
		}
		part := []entry.Part{entry.Minor, entry.Minor, entry.Major, entry.Misconduct}[s.w.random.IntN(4)]
		bodies = append(bodies, entry.Penalty{Side: s.side(), Player: s.player(), Call: "tripping", Parts: []entry.Part{part}})
	}
	if line := s.earlier(); line != nil && s.w.chance(35) {
		if s.w.chance(40) {
			s.offer(s.state.Seq, line.Entry, entry.Struck{Reason: "was not so"})
			return
		}
		switch body := line.Body.(type) {
		case entry.Goal:
			body.Scorer = s.player()
			s.offer(s.state.Seq, line.Entry, entry.Amended{To: body})
		case entry.Penalty:
			body.Player = s.player()
			s.offer(s.state.Seq, line.Entry, entry.Amended{To: body})
		default: // the other entries say nothing here
		}
		return
	}
	s.post(bodies...)
}

// earlier is a goal or a call that stands, or nothing.
func (s *seat) earlier() *rules.Line {
	var all []*rules.Line
	for i := range s.state.Lines {
		line := &s.state.Lines[i]
		if !line.Struck && (line.Kind == entry.KindGoal || line.Kind == entry.KindPenalty) {
			all = append(all, line)
		}
	}
	if len(all) == 0 {
		return nil
	}
	return all[s.w.random.IntN(len(all))]
}
