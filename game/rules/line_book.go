package rules

import (
	"strconv"
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

// bookSay writes an entry of the book as one sentence.
func bookSay(b entry.Body, team func(entry.Side) string) Say {
	switch b := b.(type) {
	case entry.Shots:
		key := "line.shots"
		if b.Count == 1 {
			key = "line.shot"
		}
		return Say{Key: key, Args: Pairs("team", team(b.Side), "count", strconv.Itoa(b.Count))}
	case entry.FaceOff:
		return Say{Key: "line.face_off", Args: Pairs("team", team(b.Won))}
	case entry.Attempt:
		key := "line." + string(b.On) + "_missed"
		if b.Scored {
			key = "line." + string(b.On) + "_scored"
		}
		return Say{Key: key, Args: Pairs("team", team(b.Side), "player", playerArg(b.Player, false))}
	case entry.Announced:
		return Say{Key: "line.announced"}
	case entry.RosterConfirmed:
		return Say{Key: "line.roster_confirmed", Args: Pairs("team", team(b.Side), "by", b.By)}
	case entry.CrewSet:
		return Say{Key: "line.crew_set"}
	case entry.Signed:
		return Say{Key: "line.signed", Args: Pairs("name", b.Name, "role", "@role."+string(b.Role))}
	case entry.Sealed:
		return Say{Key: "line.sealed", Args: Pairs("version", strconv.Itoa(b.Version))}
	case entry.Withdrawn:
		return Say{Key: "line.withdrawn", Args: Pairs("count", strconv.Itoa(len(b.Texts)))}
	default:
		return Say{Key: "line.note", Args: Pairs("text", string(b.Kind()))}
	}
}
