package card

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
)

// panel is what the rink's board shows, as far as its steps were ticked.
type panel struct {
	score [2]int
	sides [2][]shown
	done  map[string]int  // how often all steps of a task were done
	part  map[string]bool // ids of steps that were ticked, of tasks not done yet
	lamps map[string]bool // lit or dark, as far as the steps said it
}

// shown is a penalty line of the board. It runs with the board's clock, so that
// it stands for an end on the axis of play.
type shown struct {
	row    string
	entry  string
	end    entry.Millis
	number string
	seq    int // of the entry with which it was posted
}

// panelOf is a board that reads as it should.
func panelOf(r Reading) *panel {
	p := &panel{score: r.Score, done: map[string]int{}, part: map[string]bool{}}
	for i, side := range r.Sides {
		for _, l := range side.Lines {
			p.sides[i] = append(p.sides[i], shown{row: l.row, entry: l.Entry, end: l.End, number: l.Number})
		}
	}
	return p
}

// A task is known by its key: the happening, and what it puts on the board. The
// key says all that ticking it needs, so that a ledger of ticks can be followed
// without the game that led to them.
const (
	keyBetween  = "|"
	keyTimes    = "@" // after it: how often the same task was done before
	keyStep     = "#" // after it: which step of the task
	keyOfNumber = 10
)

func key(when When, parts ...string) string {
	return strings.Join(append([]string{string(when)}, parts...), keyBetween)
}

func millis(m entry.Millis) string { return strconv.FormatInt(int64(m), keyOfNumber) }

// stepID is the id of a step of a task.
func (p *panel) stepID(task, step string) string {
	return task + keyTimes + strconv.Itoa(p.done[task]) + keyStep + step
}

// tick takes a step as done. When it was the last one of its task, the board
// shows what the task puts on it. A step that is ticked twice counts once.
func (p *panel) tick(id string, c Card, seq int) {
	head, step, found := strings.Cut(id, keyStep)
	task, times, counted := cutLast(head, keyTimes)
	if !found || !counted || times != strconv.Itoa(p.done[task]) || step == "" {
		return
	}
	parts := strings.Split(task, keyBetween)
	when := When(parts[0])
	if place, _, _ := strings.Cut(step, "."); !p.part[id] {
		if i, err := strconv.Atoi(place); err == nil {
			p.lamp(c, when, i, parts[1:])
		}
	}
	p.part[id] = true
	if !when.changes() {
		return
	}
	for i := range c.do(when) {
		if !p.part[p.stepID(task, strconv.Itoa(i))] {
			return
		}
	}
	for i := range c.do(when) {
		delete(p.part, p.stepID(task, strconv.Itoa(i)))
	}
	p.done[task]++
	p.apply(when, parts[1:], seq)
}

func cutLast(text, between string) (before, after string, found bool) {
	i := strings.LastIndex(text, between)
	if i < 0 {
		return text, "", false
	}
	return text[:i], text[i+len(between):], true
}

// changes reports whether the steps change what the panel keeps: the score and
// the penalties. The others are done once.
func (w When) changes() bool {
	switch w {
	case Goal, GoalTakenBack, PenaltyPosted, PenaltyChanged, PenaltyTakenDown:
		return true
	case SetTime, ChangePeriod, BeforeGame, HoldPenalties, Intermission, AfterIntermission, TimeOut,
		RunningTime, Horn, AfterGame:
		return false
	}
	return false
}

// apply puts on the board what a task says. What it cannot read it leaves alone.
func (p *panel) apply(when When, parts []string, seq int) {
	if len(parts) < 2 || !entry.Side(parts[0]).Valid() {
		return
	}
	i := entry.Side(parts[0]).Index()
	switch {
	case when == Goal:
		p.score[i]++
	case when == GoalTakenBack:
		p.score[i] = max(0, p.score[i]-1)
	case when == PenaltyTakenDown:
		p.sides[i] = slices.DeleteFunc(p.sides[i], func(s shown) bool { return s.row == parts[1] })
	case len(parts) == 6: // side, row that is there, row, entry, end, number
		end, err := strconv.ParseInt(parts[4], keyOfNumber, 64)
		if err != nil {
			return
		}
		line := shown{row: parts[2], entry: parts[3], end: entry.Millis(end), number: parts[5], seq: seq}
		p.put(i, parts[1], line)
	}
}

// put puts a line on the board, in place of the one of a row if there is one. A
// player has one line: an earlier one of the same row has run out.
func (p *panel) put(i int, row string, line shown) {
	at := slices.IndexFunc(p.sides[i], func(s shown) bool { return s.row == row && row != "" })
	if at >= 0 {
		line.seq = p.sides[i][at].seq
		p.sides[i][at].row = "" // to be replaced, whatever its row is
	}
	p.sides[i] = slices.DeleteFunc(p.sides[i], func(s shown) bool { return s.row == line.row })
	if at = slices.IndexFunc(p.sides[i], func(s shown) bool { return s.row == "" }); at >= 0 {
		p.sides[i][at] = line
		return
	}
	p.sides[i] = append(p.sides[i], line)
}

// shift moves what the lines stand for when the clock was set: the board's lines
// go on showing what they did. A line that had run out stays away. Since says
// from which entry on lines are moved; 0 is all of them.
func (p *panel) shift(by, position entry.Millis, since int) {
	for i := range p.sides {
		p.sides[i] = slices.DeleteFunc(p.sides[i], func(s shown) bool { return s.seq >= since && s.end <= position })
		for j := range p.sides[i] {
			if p.sides[i][j].seq >= since {
				p.sides[i][j].end += by
			}
		}
	}
}

// since reports whether a penalty line was posted with the entry or a later one.
func (p *panel) since(seq int) bool {
	for _, side := range p.sides {
		if slices.ContainsFunc(side, func(s shown) bool { return s.seq >= seq }) {
			return true
		}
	}
	return false
}
