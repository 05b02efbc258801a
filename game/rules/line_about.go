package rules

import "whistlestop/game/entry"

// aboutSay says what became of another entry: it was changed, taken out, or
// brought back. It is named by what it was, as it was posted, never by its number.
func (f *folding) aboutSay(e *settled, team func(entry.Side) string) Say {
	room, key, keyOf := &f.box.room, "line.struck", "line.struck_of"
	switch {
	case e.Kind() == entry.KindAmended:
		key, keyOf = "line.amended", "line.amended_of"
	case e.target.strikes:
		key, keyOf = "line.struck_strike", "line.struck_strike_of"
	case e.target.amends:
		key, keyOf = "line.struck_change", "line.struck_change_of"
	}
	if e.target.root == 0 {
		return Say{Key: key, Args: room.pairs("what", "@what.unknown")}
	}
	of := f.posted.at(int(e.target.root) - 1)
	what := room.words.join("@what.", string(of.Kind()))
	if side := entry.SideOf(of.Body); side.Valid() {
		return Say{Key: keyOf, Args: room.pairs("what", what, "team", team(side))}
	}
	return Say{Key: key, Args: room.pairs("what", what)}
}
