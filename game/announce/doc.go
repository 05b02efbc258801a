// Package announce works out what is to be said over the loudspeaker: who is
// there, goals, calls, time-outs, the last minute, a side at full strength again,
// and what has to be put right because it was said otherwise before. It takes
// the state of a game and gives a list in the order in which things are said,
// each with whether it was said:
//
//	for _, one := range announce.List(state) {
//		if !one.Said && !one.Waits && one.Due <= now {
//			read(one.Says)
//		}
//	}
//
// Sentences are keys of the catalogue with what fills their gaps. Their form
// follows the published duties of announcers: team, number, name, reason and
// time; a penalty twice; the visitors first where both sides are penalised.
package announce
