// Package changes writes a value that grows as JSON in parts, and remembers
// since when each part is as it is. So whoever has the value as it was at an
// earlier number gets only what changed since: a long game costs a screen no
// more for each entry than a short one.
//
//	first, err := changes.Of(nil, 120, state, nil)
//	next, err := changes.Of(first, 121, later, nil)
//	whole := next.Whole()         // what json.Marshal(later) gives
//	part := next.Since(120)       // what is different in it
//
// A change holds whole new values and no differences of them. It may be put onto
// any version between the one that it was asked for and its own.
package changes
