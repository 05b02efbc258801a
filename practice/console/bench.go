package console

import (
	"encoding/json"
	"slices"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Bench is the bench's own game beside the console, at a whistle at which something is to
// be entered there. Its screens are the bench's own; what was posted on them comes back with
// an act.
type Bench struct {
	Entered int   `json:"entered"` // goals and calls that stand at this whistle
	Board   Board `json:"board"`   // what the rink's board is to read by that game
	Agrees  bool  `json:"agrees"`  // it does, and what stands is what the referee said
}

// beside is the bench's game as a moment finds it, and what the referee says there.
type beside struct {
	ledger []entry.Entry
	at     entry.At
	wall   entry.Millis
	held   bool         // the penalty clocks of the board stand
	lamps  []string     // of the board that are lit
	says   []entry.Body // goals and calls
}

// saysOf are those of a moment's bodies that a bench enters.
func saysOf(bodies []entry.Body) (list []entry.Body) {
	for _, body := range bodies {
		if goal, is := body.(entry.Goal); is {
			list = append(list, goal)
		} else if call, is := body.(entry.Penalty); is {
			list = append(list, call)
		}
	}
	return list
}

// postedMost is how many entries a bench can post at one whistle: more than a drill asks for.
const postedMost = 60

// fold is the bench's game with what was posted at this whistle. False where the rules
// refuse it.
func (b *beside) fold(posted []entry.Entry) (rules.State, bool) {
	state, err := rules.Fold(append(b.ledger[:len(b.ledger):len(b.ledger)], posted...))
	return state, err == nil
}

// stands are the goals and calls of this whistle that were not taken back, as amended.
func (b *beside) stands(state rules.State) (list []entry.Body) {
	for i := range state.Lines {
		l := &state.Lines[i]
		if l.Seq > len(b.ledger) && !l.Struck && l.About() == l.Entry {
			list = append(list, saysOf([]entry.Body{l.Body})...)
		}
	}
	return list
}

// board is what the rink's board is to read by the bench's game.
func (b *beside) board(c card.Card, state rules.State) Board {
	board := BoardOf(card.Should(state, c, b.wall))
	board.holdAll(b.held)
	board.Lamps = append(board.Lamps, b.lamps...)
	if before, ok := b.fold(nil); ok {
		board.lightAll(c, card.Todo(before, state, c, b.wall))
	}
	return board
}

// same reports whether an entry says what the referee said: side, number, and of a call its
// name and length. Nothing was said of assists.
func same(said, entered entry.Body) bool {
	if s, is := said.(entry.Goal); is {
		e, is := entered.(entry.Goal)
		return is && e.Side == s.Side && e.Scorer == s.Scorer
	}
	s, is := said.(entry.Penalty)
	e, also := entered.(entry.Penalty)
	return is && also && e.Side == s.Side && e.Player == s.Player && e.Call == s.Call && slices.Equal(e.Parts, s.Parts)
}

// enter takes over what the bench has posted at this whistle, all of it.
func (p *Play) enter(lines []json.RawMessage) {
	if p.beside() == nil || len(lines) > postedMost {
		p.slip(NoDuty, "")
		return
	}
	posted := make([]entry.Entry, len(lines))
	for i, line := range lines {
		if posted[i].UnmarshalJSON(line) != nil {
			p.slip(NoDuty, "")
			return
		}
	}
	for _, e := range posted[min(len(p.posted), len(posted)):] {
		if _, edit := e.Body.(entry.Struck); edit || e.Of != "" {
			p.grade.Again++
		}
	}
	p.posted = posted
}

// beside is the bench beside the console at this moment; nil: nothing is entered there.
func (p *Play) beside() *beside { return p.drill.Moments[p.moment].bench }

// bench is the bench as somebody sees it; nil where nothing is entered.
func (p *Play) bench() *Bench {
	b := p.beside()
	if b == nil {
		return nil
	}
	seen := &Bench{}
	if state, ok := b.fold(p.posted); ok {
		stands := b.stands(state)
		seen.Entered, seen.Board = len(stands), b.board(p.drill.Card, state)
		seen.Agrees = slices.EqualFunc(b.says, stands, same) && Same(seen.Board, p.model.Board)
	}
	return seen
}

// Ledger is the bench's game at this moment, with what was posted at its whistle, and how
// many entries were there before; nothing where nothing is entered.
func (p *Play) Ledger() (ledger []entry.Entry, given int) {
	if p.over() || p.beside() == nil {
		return nil, 0
	}
	b := p.beside()
	return append(slices.Clone(b.ledger), p.posted...), len(b.ledger)
}
