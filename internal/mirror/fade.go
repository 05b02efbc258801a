package mirror

import "whistlestop/game/entry"

// namesLast is for how long after the seal a copy has texts about people, in
// milliseconds (ours): by then a report is settled. The lines stay, which bring a
// lost game back by number.
const namesLast entry.Millis = 30 * 24 * 60 * 60 * 1000

// fades are the instants at which the texts of sealed games go from a folder.
type fades map[string]entry.Millis

// follow notes when the texts of a game go, by the newest seal among entries of
// it, and reports whether that is over.
func (f fades) follow(game string, entries []entry.Entry, now entry.Millis) (over bool) {
	for _, e := range entries {
		if _, is := e.Body.(entry.Sealed); is {
			f[game] = e.Wall + namesLast
		}
	}
	if at, sealed := f[game]; !sealed || now < at {
		return false
	}
	delete(f, game)
	return true
}

// fade has copies looked at again whose texts have to go now.
func (f *folder) fade() {
	now := f.now()
	for game, at := range f.fades {
		if now >= at {
			delete(f.fades, game)
			f.due(game, nil)
		}
	}
}
