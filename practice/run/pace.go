package run

import "slices"

// Pace says how the time between the things that a practice asks for passes. The
// clock of the practice always runs as fast as a real one, so that tenths mean
// what they mean in a game: a quicker pace leaves out what nobody needs to watch.
type Pace string

// The paces.
const (
	RealPace Pace = "real" // as long as a game
	FastPace Pace = "fast" // play and intermissions are cut to what is to be done in them
	StepPace Pace = "step" // the same, and nothing new happens before the learner says "next"
)

// Paces lists the paces.
var Paces = []Pace{RealPace, FastPace, StepPace}

// Valid reports whether the pace is known.
func (p Pace) Valid() bool { return slices.Contains(Paces, p) }

// Waiting is what a practice waits for.
type Waiting string

// What a practice can wait for.
const (
	ForNothing Waiting = ""
	ForStart   Waiting = "start" // the clock, which the learner has not started since the drop
	ForStop    Waiting = "stop"  // the clock, which the learner has not stopped since the whistle; step by step it may go on all the same
	ForReady   Waiting = "ready" // READY, so that the puck can be dropped
	ForPost    Waiting = "post"  // the same: something is built on the screen and not posted
	ForNext    Waiting = "next"  // the learner's word that it may go on: step by step only
)

// Waitings lists what a practice can wait for.
var Waitings = []Waiting{ForNothing, ForStart, ForStop, ForReady, ForPost, ForNext}
