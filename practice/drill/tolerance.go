package drill

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
	// lateRelease is how late, and earlyRelease how early, a player may be told to
	// leave the box.
	lateRelease  = 5_000
	earlyRelease = 500
	// LateHorn is how late the horn of a period's end may come.
	LateHorn = 3_000
	// slowReady is how long after the referee's last word the bench may take to be
	// ready.
	slowReady = 20_000
)
