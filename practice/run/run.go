package run

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/grade"
	"whistlestop/practice/script"
)

// Run is a practice under way: it says what the learner sees next, and when. It
// has no clock; whoever looks says what time the practice's clock shows.
//
//	run := drill.NewRun(script, drill.FastPace, entry.Solo, now)
//	seen := run.Look(now, drill.Sight{State: state})
//
// The cues keep the distances of the script, and shift with the learner: the
// referee waits with the puck until the bench is READY, or until patience is
// over, and all that comes after comes so much later. Whatever the learner does,
// a practice reaches its end.
type Run struct {
	script script.Script
	pace   Pace
	seat   entry.Seat
	begun  entry.Millis

	shown  []entry.Millis // by cue: when it was shown
	acts   []grade.Act
	next   entry.Millis // when the learner said "next" for the cue that waits; 0: not yet
	ready  int          // the newest line-up at which the bench was READY; -1: none
	upTo   int          // slips can be told up to this cue; -1: none yet
	posted map[string]bool

	dropped   int  // the newest drop that was shown; -1: none
	started   int  // slips in starting the clock can be told up to this cue; -1: none yet
	impatient bool // that drop came on HOLD, when the referee's patience was over
	drafting  bool // something is built on the learner's screen and not posted
	extra     int  // entries of the other seats that are not of the script
	ticks     map[string]entry.Millis
	sat       map[string]entry.Millis // when somebody was first seen in the box, by term
	over      map[string]entry.Millis // when somebody's time was first seen to be over, by the answer
	outs      map[string]entry.Millis // the same by the learner's ledger

	folded int // answers in answer
	answer rules.State
	grown  rules.Growing
}

// Sight is the learner's bench at an instant.
type Sight struct {
	State rules.State
	Held  bool     // the rink card has steps that hold the puck
	Steps []string // the steps of the rink card that are to be done
}

// Glance is what happened in a practice since the last look.
type Glance struct {
	Shown   []int         // cues that are to be shown now, in order
	Posts   []entry.Entry // what the other seats post now; look again when it stands
	Jump    entry.Millis  // put the practice's clock on by so much, then look again
	Next    entry.Millis  // nothing new before this instant, if the learner does nothing
	Waits   Waiting
	Hint    Hint // what the learner is to do
	Over    bool
	OnHold  bool           // the newest drop came on HOLD: the referee had waited long enough
	Box     []script.Boxed // who sits in the box of the rink, by the answer
	Release []script.Boxed // whose time is over, of those
}

// lookAgain is the longest time until the next look.
const lookAgain = 10_000

// NewRun begins a practice of a script at an instant of the practice's clock.
// The seat is one of Seats, or empty for whoever only watches; the others are played by the program.
func NewRun(s script.Script, pace Pace, seat entry.Seat, now entry.Millis) *Run {
	return &Run{
		script: s, pace: pace, seat: seat, begun: now, ready: -1, upTo: -1, dropped: -1, started: -1,
		posted: map[string]bool{}, ticks: map[string]entry.Millis{},
		sat: map[string]entry.Millis{}, over: map[string]entry.Millis{}, outs: map[string]entry.Millis{},
	}
}

// Given is the ledger before the learner begins, with instants of this practice: as long
// before the first cue as in the script, so that nobody's first touch of the clock is taken
// for a second one of another hand.
func (r *Run) Given() []entry.Entry {
	first, _ := r.due(Sight{})
	ledger := r.script.GivenLedger()
	for i := range ledger {
		ledger[i].Wall += first - r.script.Cues[0].Real - script.Start
	}
	return ledger
}

// SetPace sets how fast time passes from now on.
func (r *Run) SetPace(p Pace) { r.pace, r.next = p, 0 }

// Next says that the learner wants to go on. Only the step-by-step pace waits for
// it, and only while Look says so.
func (r *Run) Next(now entry.Millis) {
	if r.Goes() {
		r.next = now
	}
}

// Goes reports whether Next would go on to something.
func (r *Run) Goes() bool {
	i := len(r.shown)
	return i < len(r.script.Cues) && r.stepped(i) && r.next == 0
}

// Steps reports whether the practice goes step by step.
func (r *Run) Steps() bool { return r.pace == StepPace }

// Drafting notes whether something is built on the learner's screen and not posted yet.
// Such a bench is not READY, whatever its ledger says: a puck that drops then drops on HOLD.
func (r *Run) Drafting(now entry.Millis, on bool) {
	if on == r.drafting {
		return
	}
	r.drafting = on
	do := grade.Drafted
	if on {
		do = grade.Drafting
	}
	r.Did(grade.Act{Do: do, Wall: now})
}

// Did notes what the learner did beside the ledger.
func (r *Run) Did(a grade.Act) { r.acts = append(r.acts, a) }

// Acts are what was noted so far, for grading. They must not be changed.
func (r *Run) Acts() []grade.Act { return r.acts }

// Newest is the newest cue that was shown; -1 before the first.
func (r *Run) Newest() int { return len(r.shown) - 1 }

// UpTo is the cue up to which slips can be told: the one before the newest drop;
// -1 before the first drop.
func (r *Run) UpTo() int { return r.upTo }

// Started is the cue up to which slips in starting the clock can be told: the newest
// one at the stoppage after a drop, once the learner's clock stands; -1 before.
func (r *Run) Started() int { return r.started }

// Playing reports whether play is on.
func (r *Run) Playing() bool { return r.playing() }

// Done counts the stoppages that are behind.
func (r *Run) Done() int {
	n := 0
	for _, m := range r.script.Moments {
		if m.To < len(r.shown)-1 || r.isOver() {
			n++
		}
	}
	return n
}

func (r *Run) isOver() bool { return len(r.shown) == len(r.script.Cues) }

// Look says what happened up to now. A glance with posts is to be followed by
// another one, once they stand in the ledger or were refused.
func (r *Run) Look(now entry.Millis, s Sight) Glance {
	var g Glance
	for !r.isOver() {
		at, _ := r.due(s)
		if at > now {
			break
		}
		r.show(now, s)
		g.Shown = append(g.Shown, len(r.shown)-1)
	}
	r.noteReady(now, s)
	if r.dropped > r.started && !r.playing() && (!s.State.Clock.Running || r.script.Cues[r.Newest()].Running) {
		r.started = r.Newest()
	}
	g.Posts = r.others(now, s)
	g.Over = r.isOver()
	g.OnHold = r.impatient && r.dropped == r.Newest()
	g.Box, g.Release = r.inBox(now, s)
	if len(g.Posts) > 0 {
		g.Next = now
		return g
	}
	at, waits := script.FarOff, ForNothing
	if !g.Over {
		at, waits = r.due(s)
	}
	g.Waits = waits
	// A clock that runs on at a whistle is more urgent than what comes next.
	if clock := r.forClock(s); waits == ForNothing || waits == ForNext && clock == ForStop {
		g.Waits = clock
	}
	g.Hint = r.hint(g, s)
	g.Next = max(now, min(at, r.nextPost(now, s), r.nextOut(now, s), now+lookAgain))
	if !g.Over {
		g.Jump = r.jump(now, at, s)
	}
	return g
}

// show shows the next cue.
func (r *Run) show(now entry.Millis, s Sight) {
	i := len(r.shown)
	r.noteReady(now, s)
	r.shown = append(r.shown, now)
	r.acts = append(r.acts, grade.Act{Do: grade.Shown, Wall: now, Cue: i})
	r.next = 0
	switch r.script.Cues[i].Kind {
	case script.CueDrop:
		r.upTo, r.dropped = i-1, i
		r.impatient = i > 0 && !r.script.Cues[i-1].Running && !r.isReady(now, s)
	case script.CueRunsOut:
		if !r.mine(entry.ClockSeat) { // whose horn it is
			r.acts = append(r.acts, grade.Act{Do: grade.Horn, Wall: now})
		}
	case script.CueLineUp, script.CueArm, script.CueWhistle, script.CueSignal, script.CueWords, script.CueSits, script.CueCrowd, script.CueBreakOver, script.CueEnd:
	}
}

// mine reports whether the work of a seat is the learner's.
func (r *Run) mine(seat entry.Seat) bool { return r.seat == entry.Solo || r.seat == seat }

// isReady reports whether the learner's bench shows READY: all is done, and no
// time-out counts.
func (r *Run) isReady(now entry.Millis, s Sight) bool {
	return r.isDone(s) && now >= counts(s.State)
}

// isDone reports whether the learner has done all: nothing holds the puck, nothing is
// built and not posted, and the clock stands.
func (r *Run) isDone(s Sight) bool {
	return len(s.State.Hold) == 0 && !s.Held && !s.State.Clock.Running && !r.drafting
}

// counts is until when the clock of a time-out or of a delay counts; 0: none does.
func counts(s rules.State) entry.Millis {
	until := entry.Millis(0)
	if t := s.TimeOut; t != nil {
		until = t.Wall + t.Length
	}
	if d := s.Delay; d != nil {
		until = max(until, d.Wall+d.Length)
		if d.Length == 0 { // it counts up, until somebody says that it is over
			until = script.FarOff
		}
	}
	return until
}

// noteReady notes the first READY after the players lined up.
func (r *Run) noteReady(now entry.Millis, s Sight) {
	i := len(r.shown) - 1
	if i < 0 || i == r.ready || r.script.Cues[i].Kind != script.CueLineUp || !r.isDone(s) {
		return
	}
	r.ready = i
	r.acts = append(r.acts, grade.Act{Do: grade.Ready, Wall: now})
}

// playing reports whether play is on: the puck was dropped, and no whistle yet.
func (r *Run) playing() bool {
	i := len(r.shown) - 1
	return i >= 0 && slices.Contains([]script.CueKind{script.CueDrop, script.CueArm}, r.script.Cues[i].Kind)
}

// forClock says whether the learner's clock is waited for, as far as the eye goes.
func (r *Run) forClock(s Sight) Waiting {
	i := len(r.shown) - 1
	if i < 0 || !r.mine(entry.ClockSeat) || r.script.Clock == entry.Follow || !s.State.Stage.Play() {
		return ForNothing
	}
	c := s.State.Clock
	switch {
	case r.playing() && !c.Running && (c.Length == 0 || c.Elapsed < c.Length):
		return ForStart
	case !r.playing() && !r.script.Cues[i].Running && c.Running:
		return ForStop
	}
	return ForNothing
}
