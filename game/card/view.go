package card

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
)

// View is what a screen shows of the card that is in use.
type View struct {
	ID      string  `json:"id"`
	Rink    string  `json:"rink"`
	Notes   string  `json:"notes,omitempty"`
	Steps   []Step  `json:"steps"`   // left to do, in order, with those of a task begun that were ticked
	Waiting int     `json:"waiting"` // steps that are not ticked
	Holds   bool    `json:"holds"`   // the puck drop waits for them
	Look    bool    `json:"look"`    // our clock was off by a second or more at this whistle, and nobody has looked at the rest
	Aside   bool    `json:"aside"`   // set aside, until the clock is started or something changes again
	Board   Reading `json:"board"`   // what the board should read
	Type    Board   `json:"type"`    // what kind of board it is
}

// AsideItem is the name under which what is left to do on the board is set aside.
const AsideItem = "card/steps"

// driftSeen is the least by which our clock must have been off, in milliseconds,
// for a match with the board to call for a look at all of it.
const driftSeen entry.Millis = 1000

// Look follows a ledger up to its state: what the board shows by the steps that
// were ticked, and what is left to do at the instant now. It returns nil where no
// card is in use. A card that is taken into use in the middle of a game finds a
// board that reads as it should.
func Look(ledger []entry.Entry, state rules.State, now entry.Millis) (*View, error) {
	return new(Follower).Look(ledger, state, now)
}

// Follower follows one ledger that grows. It gives what Look gives, and follows
// only what is new where nothing older was amended or struck.
type Follower struct{ f *following }

// Look follows the ledger up to its state.
func (w *Follower) Look(ledger []entry.Entry, state rules.State, now entry.Millis) (*View, error) {
	f := w.f
	w.f = nil // until it has got through
	if f == nil || !f.goesOn(ledger) {
		f = &following{kinds: map[string]entry.Kind{}, bodies: map[string]entry.Body{}}
	}
	done := len(f.ledger)
	f.ledger = ledger
	f.settle(state, done)
	for i := done; i < len(ledger); i++ {
		if err := f.step(i); err != nil {
			return nil, err
		}
	}
	w.f = f
	if f.panel == nil {
		return nil, nil
	}
	c := f.card
	v := &View{ID: c.ID, Rink: c.Rink, Notes: c.Notes, Board: Should(state, c, now), Type: c.Board}
	v.Steps = f.panel.steps(state, c, v.Board, f.past)
	for _, s := range v.Steps {
		if !s.Ticked {
			v.Waiting++
		}
	}
	v.Board.Lamps = f.panel.lampsAhead(c, v.Steps)
	v.Aside = f.aside
	drift := state.Bench.Drift
	v.Look = f.matched && drift != nil && (*drift >= driftSeen || *drift <= -driftSeen)
	v.Holds = state.Bench.WaitForTicks && !state.Clock.Running && v.Waiting > 0 && !f.aside
	return v, nil
}

// following is a ledger that is followed for what the board shows.
type following struct {
	ledger []entry.Entry
	bodies map[string]entry.Body // of cards and ticks that stand, as amended
	kinds  map[string]entry.Kind // what an entry is, or the one that an edit is about
	card   Card
	panel  *panel // nil: no card is in use
	past   map[string]bool
	stop   int  // place of the newest stop
	beside bool // our clock runs beside the board's

	matched bool // our clock was matched with the board's, and nothing was ticked or started since
	aside   bool // what is left was set aside
}

// goesOn reports whether a ledger is the one that was followed with more behind
// it, none of which changes what was.
func (f *following) goesOn(ledger []entry.Entry) bool {
	n := len(f.ledger)
	if n == 0 || n > len(ledger) {
		return false
	}
	was, is := &f.ledger[n-1], &ledger[n-1]
	if n > 1 && is.Prev == "" || was.ID != is.ID || was.Prev != is.Prev {
		return false // what is not chained yet may still change under the same id
	}
	return !slices.ContainsFunc(ledger[n:], func(e entry.Entry) bool {
		return e.Kind().Edits()
	})
}

// settle finds the cards, ticks, matches and what was set aside that stand, and
// what each entry is about, from a place on.
func (f *following) settle(state rules.State, from int) {
	for i := from; i < len(state.Lines); i++ {
		line := &state.Lines[i]
		if f.kinds[line.Entry] = line.Kind; line.Kind.Edits() {
			f.kinds[line.Entry] = f.kinds[line.About()]
		}
		if line.Struck {
			continue
		}
		switch line.Body.(type) {
		case entry.CardSet, entry.Ticked, entry.SetAside, entry.BoardRead:
			f.bodies[line.Entry] = line.Body
		default: // the other entries say nothing here
		}
	}
}

func (f *following) step(i int) error {
	e := f.ledger[i]
	switch body := e.Body.(type) {
	case entry.CardSet:
		if stands, ok := f.bodies[e.ID].(entry.CardSet); ok {
			return f.use(i, stands)
		}
	case entry.Ticked:
		if stands, ok := f.bodies[e.ID].(entry.Ticked); ok && f.panel != nil {
			f.panel.tick(stands.Step, f.card, i)
			f.matched = false
		}
	case entry.SetAside:
		if stands, ok := f.bodies[e.ID].(entry.SetAside); ok && stands.Item == AsideItem {
			f.aside = true
		}
	case entry.ClockStarted:
		f.aside, f.matched = false, false
	case entry.Goal, entry.Penalty, entry.StageBegun:
		f.aside = false
	case entry.BenchSet:
		f.beside = body.Clock == entry.Beside
	case entry.ClockStopped:
		f.stop = i
	case entry.ClockSet:
		f.aside = false
		return f.moved(i, 0)
	case entry.BoardRead:
		_, stands := f.bodies[e.ID]
		f.aside, f.matched = false, stands && f.beside
		// The board is official, so its older lines stand. What was posted since
		// the whistle was posted at the board's time and not at ours.
		if f.beside {
			return f.moved(i, f.stop)
		}
	case entry.Amended, entry.Struck:
		kind := f.kinds[e.ID]
		f.aside = f.aside && !changesBoard(kind)
		if setsClock(kind) {
			return f.moved(i, 0)
		}
	default: // the other entries say nothing here
	}
	return nil
}

// changesBoard reports whether an entry of the kind changes what a board shows.
func changesBoard(k entry.Kind) bool {
	return k.About().Board != entry.NoBoard
}

// use takes a card into use, or away.
func (f *following) use(i int, body entry.CardSet) error {
	if len(body.Card) == 0 || string(body.Card) == "null" {
		f.panel = nil
		return nil
	}
	c, err := FromJSON(body.Card)
	if err != nil {
		return err
	}
	f.card = c
	if f.panel != nil { // the same board, other words
		f.panel.part = map[string]bool{}
		return nil
	}
	state, err := rules.Fold(f.ledger[:i])
	if err != nil {
		return message.Because(err, "card_file.before")
	}
	r := Should(state, c, f.ledger[i].Wall)
	f.panel, f.past = panelOf(r), keysOf(happenings(state, c, r))
	return nil
}

// moved follows the clock when an entry set it.
func (f *following) moved(i, since int) error {
	if f.panel == nil || !f.panel.since(since) {
		return nil
	}
	var at [2]entry.Millis
	for n := range at {
		state, err := rules.Fold(f.ledger[:i+n])
		if err != nil {
			return message.Because(err, "card_file.clock_set")
		}
		at[n] = position(state, f.ledger[i].Wall)
	}
	f.panel.shift(at[1]-at[0], at[0], since)
	return nil
}
