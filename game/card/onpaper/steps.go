package onpaper

import (
	"slices"
	"strings"

	"whistlestop/game/card"
)

const (
	keysSmaller = 0.9  // of a step's size, its keys
	gapSmaller  = 0.86 // of a step's size, the name of what is filled in
	inFrame     = 1.0  // millimetres around that name, its frame between
	between     = 8.0  // millimetres between two columns
	apart       = 0.55 // of a line, between two happenings
)

// onPaper is the order of a game, which is how a sheet is read.
var onPaper = []card.When{
	card.BeforeGame, card.Goal, card.GoalTakenBack, card.PenaltyPosted, card.PenaltyTakenDown, card.PenaltyChanged,
	card.SetTime, card.TimeOut, card.RunningTime, card.Horn, card.HoldPenalties, card.Intermission,
	card.ChangePeriod, card.AfterIntermission, card.AfterGame,
}

// block is a happening as it is read: its name, and of each step the words, the keys and the
// lamps of the board.
type block struct {
	when    card.When
	title   string
	steps   [][3][]word // words, then keys, then lamps
	letters int
}

// word is what stands on one line together: words and names of gaps that touch.
type word []bit

// bit is a stretch of letters in one style.
type bit struct {
	text string
	unit float64 // width in millimetres for each point of a step's size
	gap  bool    // it is filled in during the game: it has a frame
}

func (b bit) wide(points float64) float64 {
	if b.gap {
		return b.unit*points + 2*inFrame
	}
	return b.unit * points
}

func (w word) wide(points float64) (sum float64) {
	for _, b := range w {
		sum += b.wide(points)
	}
	return sum
}

// read reads the steps of the card once, however often they are tried.
func (s *setter) read() {
	for _, when := range onPaper {
		at := slices.IndexFunc(s.card.Steps, func(t card.Template) bool { return t.When == when })
		if at < 0 {
			continue
		}
		t := s.card.Steps[at]
		b := block{when: when, title: s.say("card.when." + string(when))}
		for i, step := range t.Do {
			one := [3][]word{s.wordsOf(step)}
			b.letters += len(step)
			if i < len(t.Press) && t.Press[i] != "" {
				one[1] = s.wordsOf(s.say("card.keys", "keys", t.Press[i]))
				b.letters += len(t.Press[i])
			}
			if lamps := s.lamps(t.Lamps(i, "")); lamps != "" {
				one[2] = s.wordsOf(lamps)
				b.letters += len(lamps)
			}
			b.steps = append(b.steps, one)
		}
		s.blocks = append(s.blocks, b)
	}
}

// lamps are the lamps of the board after a step, in words; "" where it says nothing of them.
func (s *setter) lamps(lamps []card.Lamp) string {
	var list []string
	for _, l := range lamps {
		key := "card.lamp.dark"
		if l.Lit {
			key = "card.lamp.lit"
		}
		list = append(list, s.say(key, "lamp", l.Name))
	}
	if len(list) == 0 {
		return ""
	}
	return s.say("card.lamps", "lamps", strings.Join(list, ", "))
}

// wordsOf divides a step at its spaces, and at its gaps.
func (s *setter) wordsOf(text string) (list []word) {
	for field := range strings.FieldsSeq(text) {
		var w word
		for field != "" {
			from := strings.IndexByte(field, '{')
			to := strings.IndexByte(field, '}')
			if from < 0 || to < from {
				from, to = len(field), -1
			}
			if from > 0 {
				w = append(w, bit{text: field[:from], unit: s.wide("", field[:from])})
			}
			if to < 0 {
				break
			}
			name := s.say("card.gap." + field[from+1:to])
			w = append(w, bit{text: name, unit: s.wide("B", name) * gapSmaller, gap: true})
			field = field[to+1:]
		}
		list = append(list, w)
	}
	return list
}

func (s *setter) column(f form) float64 {
	return (s.paper.Width - 2*Margin - between*float64(f.columns-1)) / float64(f.columns)
}

// steps places the happenings in columns below a height, or only tries whether they fit.
func (s *setter) steps(top, points float64, f form, draw bool) bool {
	column, used := s.column(f), 0
	x, y, bottom := Margin, top, s.paper.Height-Margin
	s.broad = false
	for _, b := range s.blocks {
		need := s.block(b, x, y, column, points, f, false)
		if s.broad {
			return false
		}
		if y+need > bottom {
			if used++; used == f.columns || top+need > bottom {
				return false
			}
			x, y = x+column+between, top
		}
		if draw {
			s.block(b, x, y, column, points, f, true)
		}
		y += need + leading(points, f.lead)*apart
	}
	return true
}

// block places one happening and returns its height.
func (s *setter) block(b block, x, top, width, points float64, f form, draw bool) float64 {
	line := leading(points, f.lead)
	y := top + line
	if draw {
		s.part()
		s.put(Heading, x, y, "B", points+1, b.title)
		s.line(x, y+line*0.28, width, 0.2)
	}
	y += line * 0.3
	const tick = 0.62 // of a line, the side of the box to tick
	for _, step := range b.steps {
		y += line * 0.08
		if draw {
			s.part()
			s.box(x, y+line*(1.02-tick), line*tick, line*tick, 0.25)
		}
		e := flow{left: x + line, width: width - line, x: x + line, y: y + line, line: line}
		s.flow(&e, step[0], points, draw)
		for _, part := range step[1:] {
			if len(part) == 0 {
				continue
			}
			if !f.runOn {
				e.y += leading(points*keysSmaller, f.lead)
				e.x = e.left
			}
			s.flow(&e, part, points*keysSmaller, draw)
		}
		y = e.y
	}
	return y + line*0.15 - top
}

// flow is how far a text was set: where the next word begins, within a width.
type flow struct{ left, width, x, y, line float64 }

// flow sets words with line breaks.
func (s *setter) flow(f *flow, words []word, points float64, draw bool) {
	space := s.wide("", " ") * points
	for _, w := range words {
		wide := w.wide(points)
		if f.x > f.left {
			if draw {
				s.put(Part, f.x, f.y, "", points, " ") // whoever hears the lines hears two words
			}
			if f.x += space; f.x+wide > f.left+f.width {
				f.x, f.y = f.left, f.y+f.line
			}
		}
		for _, b := range w {
			one := b.wide(points)
			s.broad = s.broad || one > f.width
			if f.x > f.left && f.x+one > f.left+f.width { // words that touch, longer than a line
				f.x, f.y = f.left, f.y+f.line
			}
			if draw {
				s.bit(b, f.x, f.y, one, points)
			}
			f.x += one
		}
	}
}

func (s *setter) bit(b bit, x, y, wide, points float64) {
	if !b.gap {
		s.put(Part, x, y, "", points, b.text)
		return
	}
	line := leading(points, 1.25)
	s.box(x+0.35, y-line*0.66, wide-0.7, line*0.86, 0.2)
	s.put(Part, x+inFrame, y, "B", points*gapSmaller, b.text)
}
