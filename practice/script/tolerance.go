package script

import "whistlestop/game/entry"

// How exact a bench must be, in milliseconds. People answer a sight within about
// a quarter of a second when they wait for it, and longer in a noisy hall with
// two things to watch; the limits are ours, from what a bench can reach and a
// game can bear (common practice, no source).
const (
	// LateClock is how late the clock may be started or stopped.
	LateClock = 1_000
	// EarlyClock is how early: a start before the puck touches the ice.
	EarlyClock = 500
	// PutClock is how far off a clock may stand that the referee had put right.
	PutClock = 500
	// LateRelease is how late, and earlyRelease how early, a player may be told to
	// leave the box.
	LateRelease  = 5_000
	EarlyRelease = 500
	// LateHorn is how late the horn of a period's end may come.
	LateHorn = 3_000
	// SlowReady is how long after the referee's last word the bench may take to be
	// ready.
	SlowReady = 20_000
)

// ReleaseAfter is how long after the end of a penalty the answer lets somebody
// out.
const ReleaseAfter = 1_000

// AtOnce is how long before the referee somebody begins to speak who gets in the
// way: both are still speaking when the number is said. It is shorter than the
// shortest pause of a level.
const AtOnce = 800

// FarOff is later than any instant.
const FarOff = entry.Millis(1) << 60
