package rules

import "whistlestop/game/entry"

// aboutSay says what became of another entry: it was changed, taken out, or
// brought back. It is named by what it was, as it was posted, never by its number.
func (f *folding) aboutSay(e *settled, team func(entry.Side) string) Say {
	_, strikes := e.body.(entry.Struck)
	key := "line.amended"
	if strikes {
		key = "line.struck"
	}
	place, of, known := f.posted.before(f.posted.len(), e.Of)
	for known {
		switch of.Body.(type) {
		case entry.Amended:
			if strikes && key == "line.struck" {
				key = "line.struck_change"
			}
		case entry.Struck:
			if key = "line.struck_strike"; !strikes {
				key = "line.amended"
			}
		default:
			args := Pairs("what", "@what."+string(of.Kind()))
			if side := entry.SideOf(of.Body); side.Valid() {
				return Say{Key: key + "_of", Args: args.With("team", team(side))}
			}
			return Say{Key: key, Args: args}
		}
		place, of, known = f.posted.before(place, of.Of)
	}
	return Say{Key: key, Args: Pairs("what", "@what.unknown")}
}
