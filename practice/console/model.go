package console

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/entry"
)

// Board is what the rink's board shows.
type Board struct {
	On     bool         `json:"on"`
	Score  [2]int       `json:"score"`
	Period int          `json:"period"`
	Clock  entry.Millis `json:"clock_ms"`
	Sides  [2][]Line    `json:"sides"` // penalty lines from the top
	Lamps  []string     `json:"lamps"` // that are lit, in the card's order
}

// Line is a penalty on the board.
type Line struct {
	Number string       `json:"number"`
	Left   entry.Millis `json:"left_ms"`
	Held   bool         `json:"held"` // it does not run, whatever the clock does
}

// BoardOf is a board that reads as it should.
func BoardOf(r card.Reading) Board {
	b := Board{On: true, Score: r.Score, Period: r.Period, Clock: r.Clock, Lamps: []string{}}
	for i, side := range r.Sides {
		b.Sides[i] = []Line{}
		for _, l := range side.Lines {
			b.Sides[i] = append(b.Sides[i], Line{Number: l.Number, Left: l.Left})
		}
	}
	return b
}

// Same reports whether two boards show the same, whatever the order of a side's lines:
// what is posted late stands below on a board, and above in the ledger.
func Same(a, b Board) bool {
	for i := range a.Sides {
		if len(a.Sides[i]) != len(b.Sides[i]) || slices.ContainsFunc(a.Sides[i], func(l Line) bool { return !slices.Contains(b.Sides[i], l) }) {
			return false
		}
	}
	return slices.Equal(a.Lamps, b.Lamps) && a.On == b.On && a.Score == b.Score && a.Period == b.Period && a.Clock == b.Clock
}

func (b Board) clone() Board {
	for i := range b.Sides {
		b.Sides[i] = append([]Line{}, b.Sides[i]...)
	}
	b.Lamps = append([]string{}, b.Lamps...)
	return b
}

// Model is a console. It knows what its card says and nothing of any console that
// there is.
type Model struct {
	Board   Board
	Display string

	card   card.Card
	all    []sequence
	begun  []attempt // sequences that what was pressed so far fits
	before Board     // as it was when the first key of them was pressed
	sets   map[card.When]entry.Millis
}

// sequence is the keys of a happening with a side, a line and a period in their names.
type sequence struct {
	when  card.When
	items []card.PressItem
	named map[string]string // gaps that stand in names of keys
	each  bool              // it is about one penalty of an intermission
	lamps []card.Lamp       // as its steps leave them
}

// attempt is a sequence as far as it was pressed.
type attempt struct {
	of     *sequence
	at     int // the item that comes next, or the value that is being typed
	typing string
	values map[string]string
}

// Answer is what the console did with a key.
type Answer struct {
	Taken bool
	Did   []card.When // what the board was told with it
}

// New is a console with what its board shows.
func New(c card.Card, b Board) *Model {
	m := &Model{card: c, Board: b.clone(), all: sequences(c)}
	return m
}

// Sets says to what the console puts its clock by itself at a happening whose keys
// tell it no time.
func (m *Model) Sets(when card.When, clock entry.Millis) {
	sets := map[card.When]entry.Millis{when: clock}
	for w, t := range m.sets {
		if w != when {
			sets[w] = t
		}
	}
	m.sets = sets
}

// copy is the console as it is now, to go back to.
func (m *Model) copy() *Model {
	other := *m
	other.Board, other.before, other.begun = m.Board.clone(), m.before.clone(), slices.Clone(m.begun)
	return &other
}

// Idle reports whether nothing was begun.
func (m *Model) Idle() bool { return len(m.begun) == 0 }

// Press follows a key. A key that fits nothing which the card teaches is not taken
// and changes nothing but the display.
func (m *Model) Press(key string) Answer {
	if m.card.Console != nil && key == m.card.Console.Clear && !m.Idle() && len(m.after(m.begun, key)) == 0 {
		m.Clear()
		return Answer{Taken: true}
	}
	next := m.after(m.begun, key)
	if len(next) == 0 {
		if !m.Idle() && !slices.ContainsFunc(m.begun, attempt.whole) {
			return m.refuse()
		}
		// What was complete stays done, and this begins something new.
		if next = m.after(m.starts(), key); len(next) == 0 {
			return m.refuse()
		}
		m.before = m.Board.clone()
	}
	m.begun, m.Display = next, display(next)
	answer := Answer{Taken: true}
	if i := m.choose(); i >= 0 {
		board := m.before.clone()
		if !board.do(m.card, next[i]) {
			return m.refuse()
		}
		if t, known := m.sets[next[i].of.when]; known && next[i].time() < 0 {
			board.Clock = t
		}
		board.light(m.card, next[i].of.lamps)
		m.Board, answer.Did = board, []card.When{next[i].of.when}
		m.Display = m.told(next[i])
	}
	if !goesOn(m.begun) {
		m.begun = nil
	}
	return answer
}

// light puts lamps as a step leaves them that was done, whether it has keys or not.
func (m *Model) light(said []card.Lamp) {
	m.Board.light(m.card, said)
	m.before.light(m.card, said)
}

// Clear takes back what was begun.
func (m *Model) Clear() { m.begun, m.Display = nil, "" }

func (m *Model) refuse() Answer {
	if m.card.Console != nil && m.card.Console.Wrong != "" {
		m.Display = m.card.Console.Wrong
	}
	return Answer{}
}

// goesOn reports whether more could be pressed.
func goesOn(list []attempt) bool {
	return slices.ContainsFunc(list, func(a attempt) bool { return !a.whole() })
}

// starts are all sequences of which nothing was pressed, and which the console can do now.
func (m *Model) starts() (list []attempt) {
	for i := range m.all {
		s := &m.all[i]
		if (s.when == card.BeforeGame) == m.Board.On {
			continue // what is off can only be switched on
		}
		list = append(list, attempt{of: s, values: map[string]string{}})
	}
	return list
}

// after are the attempts as they are with one key more.
func (m *Model) after(list []attempt, key string) (next []attempt) {
	for _, a := range list {
		next = append(next, m.with(a, key)...)
	}
	return next
}

// with follows one attempt: a digit more of what is typed, or the key that comes next.
func (m *Model) with(a attempt, key string) (next []attempt) {
	if a.at >= len(a.of.items) {
		return nil
	}
	item := a.of.items[a.at]
	if item.Typed == "" {
		if item.Key == key {
			return []attempt{a.passed(nil)}
		}
		return nil
	}
	least, most := m.card.Digits(item.Typed)
	if len(key) == 1 && key[0] >= '0' && key[0] <= '9' && len(a.typing) < most {
		more := a
		more.typing += key
		if len(more.typing) == most && least == most {
			next = append(next, more.passed(&item.Typed))
		} else {
			next = append(next, more)
		}
	}
	if len(a.typing) >= least && least != most {
		next = append(next, m.with(a.passed(&item.Typed), key)...)
	}
	return next
}

// passed goes on to the next item, with the value that was typed if there is one.
func (a attempt) passed(typed *string) attempt {
	if typed != nil {
		values := map[string]string{*typed: a.typing}
		for gap, value := range a.values {
			if _, known := values[gap]; !known {
				values[gap] = value
			}
		}
		a.values, a.typing = values, ""
	}
	for a.at++; a.at < len(a.of.items) && a.of.items[a.at].Shows != ""; a.at++ {
	}
	return a
}

func (a attempt) whole() bool { return a.at >= len(a.of.items) }

// choose finds which of the sequences that are complete is meant: one that is for
// what the board shows, if a key does two things by turns.
func (m *Model) choose() int {
	first := -1
	for i, a := range m.begun {
		if !a.whole() {
			continue
		}
		if first < 0 {
			first = i
		}
		if a.of.when == card.AfterIntermission && !m.before.runs() || a.of.when == card.HoldPenalties && m.before.runs() {
			return i
		}
	}
	return first
}

func (b Board) any(is func(Line) bool) bool {
	return slices.ContainsFunc(b.Sides[0], is) || slices.ContainsFunc(b.Sides[1], is)
}

// runs reports whether the board has penalties that are not held.
func (b Board) runs() bool {
	return b.any(func(l Line) bool { return !l.Held }) && !b.any(func(l Line) bool { return l.Held })
}

// display is what the display reads: what the card says, or what was typed.
func display(list []attempt) string {
	for _, a := range list {
		if a.typing != "" {
			return a.typing
		}
	}
	for _, a := range list {
		if i := a.at - 1; i >= 0 && a.of.items[i].Shows != "" {
			return a.fill(a.of.items[i].Shows)
		}
	}
	return ""
}

// told is what the display reads when all was pressed: what the card says, with what
// the board shows now where nothing was typed.
func (m *Model) told(a attempt) string {
	shows := a.of.items[len(a.of.items)-1].Shows
	if shows == "" {
		return m.Display
	}
	now := []string{"{home}", strconv.Itoa(m.Board.Score[0]), "{visitors}", strconv.Itoa(m.Board.Score[1]), "{period}", strconv.Itoa(m.Board.Period)}
	if side := sideOf(m.card, a); side >= 0 {
		now = append(now, "{score}", strconv.Itoa(m.Board.Score[side]))
		if at := m.Board.find(a, side); at >= 0 {
			now = append(now, "{line}", strconv.Itoa(at+1))
		}
	}
	return strings.NewReplacer(now...).Replace(a.fill(shows))
}

func sideOf(c card.Card, a attempt) int {
	return slices.Index([]string{c.Words.Home, c.Words.Visitors}, a.value("side"))
}

func (a attempt) fill(text string) string {
	var pairs []string
	for _, gap := range []string{"side", "line", "period", "time", "mmss", "number", "minutes", "score", "home", "visitors"} {
		if value := a.value(gap); value != "" {
			pairs = append(pairs, "{"+gap+"}", value)
		}
	}
	return strings.NewReplacer(pairs...).Replace(text)
}

func (a attempt) value(gap string) string {
	if value := a.values[gap]; value != "" {
		return value
	}
	return a.of.named[gap]
}
