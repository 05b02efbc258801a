package bench

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Poster is who posts. The zero value is the bench itself: the computer that the
// program runs on, whose drafts say themselves from which seat they are.
type Poster struct {
	Seat entry.Seat // of the device; empty: the bench itself
	Side entry.Side // the only side that the seat works for; empty: both
	Name string     // the device, as the bench knows it
	Saw  int        // seq of the state that the edits were made from; 0: not said

	// LooksOn is the device that counts in this one's place; empty: this one does.
	LooksOn string
}

// stamp returns the drafts as the poster's: a device cannot post from another
// seat or under another name, whatever it sends.
func (p Poster) stamp(drafts []entry.Entry) []entry.Entry {
	if p.Seat == "" {
		return drafts
	}
	drafts = slices.Clone(drafts)
	for i := range drafts {
		drafts[i].Seat, drafts[i].By = p.Seat, p.Name
	}
	return drafts
}

// Seats lists the seats that may post entries of a kind, beside the bench
// itself. What an amendment or a strike may do depends on what it is about.
func Seats(k entry.Kind) []entry.Seat { return k.About().Seats }

// Act is what a seat does with an entry.
type Act string

// The acts.
const (
	Post   Act = "post"
	Amend  Act = "amend"
	Strike Act = "strike"
)

// Acts lists every act.
var Acts = []Act{Post, Amend, Strike}

// Right says how far a seat may go.
type Right string

// How far a seat may go.
const (
	Never Right = ""
	Own   Right = "own" // only with what was entered from the device itself
	Any   Right = "any"
)

// May returns what a seat may do with entries of a kind. An edit is judged by the
// kind of the entry that it is about in the end.
func May(seat entry.Seat, act Act, kind entry.Kind) Right {
	switch {
	case !slices.Contains(Seats(kind), seat):
		return Never
	case act == Post || !kind.About().OwnOnly || seat == entry.BookSeat:
		return Any
	default:
		return Own // what somebody wrote down is theirs and the book's
	}
}

// forbids says why the poster may not post a draft, or nothing. About gives the
// entry that an edit is about in the end; one without a body where there is none.
func (p Poster) forbids(d entry.Entry, about func(of string) entry.Entry) *rules.Say {
	if p.Seat == "" {
		return nil
	}
	act, root, bodies := Post, entry.Entry{}, []entry.Body{d.Body}
	switch body := d.Body.(type) {
	case entry.Amended:
		act, root = Amend, about(d.Of)
		bodies = []entry.Body{body.To, root.Body}
	case entry.Struck:
		act, root = Strike, about(d.Of)
		bodies = []entry.Body{root.Body}
	default: // the other entries say nothing here
	}
	own := root.Seat == p.Seat && root.By == p.Name
	for _, body := range bodies {
		if body == nil {
			continue // there is no such entry; the rules refuse it
		}
		switch right := May(p.Seat, act, body.Kind()); {
		case right == Never:
			why := onlySeats(Seats(body.Kind()))
			return &why
		case right == Own && !own:
			why := say("bench.only_own")
			return &why
		}
		if body.Kind().About().Counts && p.LooksOn != "" {
			why := say("bench.other_counts", "device", p.LooksOn)
			return &why
		}
		if side, has := sideOf(body); has && p.Side != "" && side != p.Side {
			why := say("bench.only_" + string(p.Side))
			return &why
		}
	}
	return nil
}

// onlySeats says who may, so that people know whom to ask.
func onlySeats(may []entry.Seat) rules.Say {
	name := func(i int) string { return "@seat." + string(may[i]) }
	switch len(may) {
	case 0:
		return say("bench.only_bench")
	case 1:
		return say("bench.only_seat", "seat", name(0))
	case 2:
		return say("bench.only_two_seats", "seat", name(0), "other", name(1))
	default:
		return say("bench.only_three_seats", "seat", name(0), "other", name(1), "third", name(2))
	}
}

// sideOf returns the side that an entry is about, where a seat of one side only
// may not speak for the other.
func sideOf(body entry.Body) (side entry.Side, has bool) {
	return entry.SideOf(body), body.Kind().About().OneSide
}
