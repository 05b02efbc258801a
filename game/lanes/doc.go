// Package lanes turns the state of a game at a moment into the picture that
// every screen shows: two lanes that share a rail of time, a bar for everybody
// in the box from that moment to the release. It draws that picture as SVG for
// documents and paper. It is pure: the same state gives the same bytes.
//
//	picture := lanes.At(state, moment)
//	err := lanes.Draw(file, picture, words)
package lanes
