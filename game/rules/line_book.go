package rules

import (
	"strings"

	"whistlestop/game/entry"
)

// shown is a body as the lines carry it: a drawn signature stays in the ledger,
// it is too long to be sent to every screen after every entry.
func shown(b entry.Body) entry.Body {
	if signed, ok := b.(entry.Signed); ok {
		signed.Drawing = ""
		return signed
	}
	return b
}

// asideSay says what was settled or set aside: the key of an item begins with
// what it is about.
func (f *folding) asideSay(b entry.SetAside) Say {
	about, rest, _ := strings.Cut(b.Item, "/")
	side, _, _ := strings.Cut(rest, "/")
	args := Args(nil)
	if s := entry.Side(side); s.Valid() {
		args = Pairs("team", f.box.names[s.Index()])
	}
	switch {
	case about == "back" && args != nil, about == "coach" && args != nil, about == "net" && args != nil:
		return Say{Key: "line.aside_" + about, Args: args}
	case about == "ends", about == "running_lengths", about == "running_box", about == "break":
		return Say{Key: "line.aside_seen"}
	default:
		return Say{Key: "line.set_aside"}
	}
}
