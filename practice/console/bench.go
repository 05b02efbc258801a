package console

import (
	"slices"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Kind says what is entered at the bench beside the console.
type Kind string

// What can be entered there.
const (
	GoalEntry  Kind = "goal"
	MinorEntry Kind = "penalty"
)

// Entered is an entry that somebody makes at the bench beside the console.
type Entered struct {
	Kind   Kind         `json:"kind"`
	Side   entry.Side   `json:"side"`
	Number entry.Jersey `json:"number"` // of the scorer, or of whom the call is for
}

// enteredMost is how many entries can stand at one whistle: more than a drill asks for.
const enteredMost = 4

// valid reports whether a bench would take it.
func (e Entered) valid() bool {
	digits := len(e.Number) > 0 && len(e.Number) <= 2 && strings.Trim(string(e.Number), "0123456789") == ""
	return digits && slices.Contains(entry.Sides[:], e.Side) && (e.Kind == GoalEntry || e.Kind == MinorEntry)
}

// body is the entry as a game's ledger has it.
func (e Entered) body() entry.Body {
	if e.Kind == GoalEntry {
		return entry.Goal{Side: e.Side, Scorer: e.Number}
	}
	return entry.Penalty{Side: e.Side, Player: e.Number, Call: "tripping", Parts: []entry.Part{entry.Minor}}
}

// Bench is the bench's own game beside the console, at a whistle at which something is to
// be entered.
type Bench struct {
	Entered []Entered `json:"entered"` // at this whistle
	Board   Board     `json:"board"`   // what the rink's board is to read by that game
	Agrees  bool      `json:"agrees"`  // it does
}

// beside is the bench's game as a moment finds it, and what the referee says there.
type beside struct {
	ledger []entry.Entry
	at     entry.At
	wall   entry.Millis
	held   bool // the penalty clocks of the board stand
	says   []Entered
}

// saysOf are those of a moment's bodies that a bench enters.
func saysOf(bodies []entry.Body) (list []Entered) {
	for _, body := range bodies {
		if b, is := body.(entry.Goal); is {
			list = append(list, Entered{Kind: GoalEntry, Side: b.Side, Number: b.Scorer})
		}
		if b, is := body.(entry.Penalty); is {
			list = append(list, Entered{Kind: MinorEntry, Side: b.Side, Number: b.Player})
		}
	}
	return list
}

// board is what the rink's board is to read by what was entered: of the fold of that
// game, as a bench says it. False where the rules refuse what was entered.
func (b *beside) board(c card.Card, entered []Entered) (Board, bool) {
	ledger := slices.Clone(b.ledger)
	for i, e := range entered {
		ledger = append(ledger, entryOf(len(ledger)+1, b.at, b.wall+entry.Millis(i), e.body()))
	}
	state, err := rules.Fold(ledger)
	if err != nil {
		return Board{}, false
	}
	board := BoardOf(card.Should(state, c, b.wall))
	board.holdAll(b.held)
	return board, true
}

// enter enters something at the bench.
func (p *Play) enter(e *Entered) {
	switch {
	case p.beside() == nil || e == nil || !e.valid() || len(p.entered) >= enteredMost:
		p.slip(NoDuty, "")
	default:
		p.entered = append(p.entered, *e)
	}
}

// takeBack takes the newest entry of this whistle out again.
func (p *Play) takeBack() {
	if n := len(p.entered); n > 0 {
		p.entered = p.entered[:n-1]
		p.grade.Again++
	}
}

// beside is the bench beside the console at this moment; nil: nothing is entered there.
func (p *Play) beside() *beside { return p.drill.Moments[p.moment].bench }

// agreed reports whether the bench has what the referee said, and the rink's board
// reads as the bench's game says.
func (p *Play) agreed() bool {
	b := p.beside()
	if b == nil {
		return true
	}
	board, ok := b.board(p.drill.Card, p.entered)
	return ok && slices.Equal(p.entered, b.says) && Same(board, p.model.Board)
}

// bench is the bench as somebody sees it; nil where nothing is entered.
func (p *Play) bench() *Bench {
	b := p.beside()
	if b == nil {
		return nil
	}
	seen := &Bench{Entered: append([]Entered{}, p.entered...)}
	if board, ok := b.board(p.drill.Card, p.entered); ok {
		seen.Board, seen.Agrees = board, Same(board, p.model.Board)
	}
	return seen
}
