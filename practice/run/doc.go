// Package run is a practice that is under way: what the learner is shown by now,
// whom the game waits for, what the other seats post, and who sits in the box.
//
//	r := run.NewRun(s, run.RealPace, entry.Solo, now)
//	glance := r.Look(now, run.Sight{State: state})
//
// It knows no clock: whoever asks says what time it is.
package run
