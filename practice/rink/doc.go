// Package rink draws where everybody is on the ice, from above, for the picture that
// a learner watches.
//
//	frames := rink.Frames(s, cue) // from a drop to the whistle, or from it to the drop
//
// The same script gives the same picture, in whole numbers.
package rink
