package bench

import (
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// together is how far apart two orders of one kind may be that answer the same
// moment, in milliseconds between the two touches (ours).
const together entry.Millis = 3000

// order is the order that one entry gives. Whoever gives it read on a screen what
// it would do, and the screen may have changed under the finger.
type order struct {
	of     string // what it is about
	to     string // what that becomes; empty: another thing altogether
	stands entry.Millis
}

// orderOf returns the order that a body gives, if it is one: as the row of its kind
// says, and which one of several.
func orderOf(body entry.Body) (o order, is bool) {
	row := body.Kind().About().Order
	if row.Of == "" {
		return order{}, false
	}
	o = order{of: row.Of, to: row.To, stands: row.Stands}
	if side := entry.SideOf(body); side.Valid() {
		o.of += "/" + string(side)
	}
	switch b := body.(type) {
	case entry.StageBegun:
		o.to = string(b.Stage.Kind) + strings.Repeat("+", b.Stage.Number)
	case entry.RunningTime:
		o.to = onOff(b.On)
	case entry.Goalkeeper:
		o.to = "=" + string(b.Number)
	case entry.Seated:
		o.of, o.to = o.of+"/"+string(b.Player), onOff(b.In)
	default: // as the row says
	}
	return o, true
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

// touched is an order of the ledger, as it bears on another one.
type touched struct {
	order
	entry.Entry
}

// ordersOf returns the orders of the ledger about one thing, the newest first.
// An edit of one is an order for something else. The clock is another one with
// each stage.
func (g *game) ordersOf(of string) []touched {
	var found []touched
	for i := len(g.ledger) - 1; i >= 0; i-- {
		e := g.ledger[i]
		body := e.Body
		edit := edits(e.Kind())
		if edit {
			at, known := g.place[g.update.State.Lines[i].About()]
			if !known {
				continue
			}
			body = g.ledger[at].Body
		}
		o, is := orderOf(body)
		switch {
		case !is:
			continue
		case of == "clock" && o.of == "stage":
			o = order{of: "clock", stands: o.stands}
		case o.of != of:
			continue
		}
		if edit {
			o.to = ""
		}
		found = append(found, touched{order: o, Entry: e})
		if len(found) == 20 {
			break // what is older was seen by everybody
		}
	}
	return found
}

// uncross looks at drafts that order something which another device has just
// changed. Those that say what was done already, at the same moment, are left
// out: two people answered one whistle. An opposite one is refused when the
// poster had not seen the change, or gave it before anybody can have meant it.
func (g *game) uncross(p Poster, drafts []entry.Entry) ([]entry.Entry, error) {
	kept := drafts[:0:0]
	for _, d := range drafts {
		o, is := orderOf(d.Body)
		if !is {
			kept = append(kept, d)
			continue
		}
		joined, against := g.crossing(p, d, o)
		if against != nil {
			return nil, &Problem{
				Kind: Outdated, Say: say("bench.crossed"),
				Refused: []rules.Refusal{{Entry: d.ID, Field: "type", Say: crossedSay(d, o, *against)}},
			}
		}
		if !joined {
			kept = append(kept, d)
		}
	}
	return kept, nil
}

// crossing says whether another device has given the same order at the same
// moment, or which one stands against it.
func (g *game) crossing(p Poster, d entry.Entry, o order) (joined bool, against *touched) {
	orders := g.ordersOf(o.of)
	unseen := func(e touched) bool { return p.Saw > 0 && e.Seq > p.Saw }
	for _, e := range orders {
		if e.to == "" {
			break // what came before was about another clock
		}
		if unseen(e) && sameOrder(e.order, o) && !sameDevice(e.Entry, d) && e.Seat != entry.Program &&
			abs(d.Wall-e.Wall) <= together {
			return true, nil
		}
	}
	if len(orders) == 0 {
		return false, nil
	}
	newest := orders[0]
	if sameDevice(newest.Entry, d) || sameOrder(newest.order, o) {
		return false, nil
	}
	if unseen(newest) {
		return false, &newest
	}
	// The clock of a new stage was not stopped by anybody.
	if newest.to != "" && newest.Seat != entry.Program && abs(d.Wall-newest.Wall) <= newest.stands {
		return false, &newest
	}
	return false, nil
}

func sameOrder(a, b order) bool { return a.to != "" && a.of == b.of && a.to == b.to }

// sameDevice reports whether both come from one device: the bench's own
// computer has no name.
func sameDevice(a, b entry.Entry) bool { return a.Seat == b.Seat && a.By == b.By }

func abs(m entry.Millis) entry.Millis { return max(m, -m) }

// crossedSay says what stands, who did it, and what to do.
func crossedSay(d entry.Entry, o order, against touched) rules.Say {
	key := "bench.crossed."
	about, _, _ := strings.Cut(o.of, "/")
	switch {
	case about == "clock" && against.to == "":
		key += "other_clock"
	case about == "clock":
		key += "clock_" + against.to
	default:
		key += about
	}
	return say(key, "who", "@bench.by."+string(against.Seat))
}
