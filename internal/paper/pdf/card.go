package pdf

import (
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/rules"
)

// Words are the texts of a language for people, by their keys.
type Words interface {
	Text(key string, args rules.Args) string
	Language() string // as a tag of BCP 47
}

// The sizes of the steps, in points: the largest that fits is taken.
const (
	pointsMost  = 12.0
	pointsLeast = 6.0
	pointsStep  = 0.25
	keysSmaller = 0.9 // of a step's size, the keys below it
	between     = 8.0 // millimetres between the columns
)

// Card prints a rink card on one page: what the board is like, the picture of the
// console with its keys numbered, if there is one, then the steps of
// every happening with a box to tick and the console's keys below each. What is
// filled in during the game stands in a frame. Where picture and steps cannot both be
// read on one page, the picture has one of its own. What is plugged in, what to do if
// something is wrong, and whom to call stand on a last page, if the card says so.
func Card(out io.Writer, c card.Card, paper Paper, words Words) error {
	p, err := newPage(paper, c.Rink, words.Language())
	if err != nil {
		return err
	}
	s := &cardSheet{page: p, card: c, words: words}
	top := s.head()
	photo := s.photo()
	if photo != nil {
		if room, points := s.together(photo, top); room > 0 {
			if top, err = s.picture(photo, top, room); err != nil {
				return err
			}
			s.steps(top, points, true)
			return s.second(out)
		}
	}
	points := s.fitting(top, pointsMost)
	if points == 0 {
		return ErrTooLong
	}
	s.steps(top, points, true)
	if photo != nil {
		if err := s.pictureAlone(photo); err != nil {
			return err
		}
	}
	return s.second(out)
}

// fitting is the largest size of letters, from one on, in which the steps fit below a
// height; 0: none does.
func (s *cardSheet) fitting(top, most float64) float64 {
	for points := most; points >= pointsLeast; points -= pointsStep {
		if s.steps(top, points, false) {
			return points
		}
	}
	return 0
}

type cardSheet struct {
	*page
	card  card.Card
	words Words
	broad bool     // a word was wider than its column
	step  *element // that is being written
}

func (s *cardSheet) say(key string, pairs ...string) string {
	return s.words.Text(key, rules.Pairs(pairs...))
}

// head writes the rink, its board and the notes, and returns where the rest of
// the page begins.
func (s *cardSheet) head() float64 {
	y := margin + 7
	s.font("B", 26)
	name := s.card.Rink
	for size := 26.0; s.wide(legible(name)) > s.width-2*margin-40 && size > 12; size-- {
		s.font("B", size)
	}
	s.draw(s.add(nil, roleTitle), func() { s.write(margin, y, name) })
	s.font("", 12)
	title := s.say("card.title")
	s.draw(s.add(nil, rolePart), func() { s.write(s.width-margin-s.wide(title), y, title) })
	y += 3
	s.draw(nil, func() {
		s.SetLineWidth(0.6)
		s.Line(margin, y, s.width-margin, y)
	})
	s.font("", 10.5)
	for _, text := range []string{s.board(), s.card.Notes, s.say("card.how")} {
		if text == "" {
			continue
		}
		e := s.add(nil, rolePart)
		for _, line := range s.split(legible(text), s.width-2*margin) {
			y += leading(10.5)
			s.draw(e, func() { s.write(margin, y, line) })
		}
	}
	return y + 4
}

// board says in a line what the board shows.
func (s *cardSheet) board() string {
	b := s.card.Board
	if b.PenaltyLines == 0 {
		return s.say("card.board.none")
	}
	parts := []string{s.say("card.board.lines", "count", strconv.Itoa(b.PenaltyLines))}
	if b.PenaltyLines == 1 {
		parts[0] = s.say("card.board.line")
	}
	switch {
	case !b.ShowsNumbers:
		parts = append(parts, s.say("card.board.no_numbers"))
	case b.NumberDigits == 2:
		parts = append(parts, s.say("card.board.two_digits"))
	default:
		parts = append(parts, s.say("card.board.numbers"))
	}
	parts = append(parts, s.say("card.board.most", "minutes", strconv.Itoa(b.MostMinutes)))
	if b.CountsInIntermission {
		parts = append(parts, s.say("card.board.counts"))
	}
	return strings.Join(parts, " ")
}

// onPaper is the order of a game, which is how a sheet is read.
var onPaper = []card.When{
	card.BeforeGame, card.Goal, card.GoalTakenBack, card.PenaltyPosted, card.PenaltyTakenDown, card.PenaltyChanged,
	card.SetTime, card.TimeOut, card.RunningTime, card.Horn, card.HoldPenalties, card.Intermission,
	card.ChangePeriod, card.AfterIntermission, card.AfterGame,
}

// steps writes the happenings in two columns, or only tries whether they fit in
// the size.
func (s *cardSheet) steps(top, points float64, draw bool) bool {
	column := (s.width - 2*margin - between) / 2
	x, y := margin, top
	bottom := s.height - margin
	s.broad = false
	for _, when := range onPaper {
		at := slices.IndexFunc(s.card.Steps, func(t card.Template) bool { return t.When == when })
		if at < 0 {
			continue
		}
		need := s.block(s.card.Steps[at], x, y, column, points, false)
		if s.broad {
			return false
		}
		if y+need > bottom {
			if x > margin {
				return false
			}
			x, y = margin+column+between, top
			if y+need > bottom {
				return false
			}
		}
		if draw {
			s.block(s.card.Steps[at], x, y, column, points, true)
		}
		y += need + leading(points)*0.55
	}
	return true
}

// block writes one happening and returns its height.
func (s *cardSheet) block(t card.Template, x, top, width, points float64, draw bool) float64 {
	line := leading(points)
	y := top + line
	s.font("B", points+1)
	if draw {
		s.draw(s.add(nil, roleHeading), func() { s.write(x, y, s.say("card.when."+string(t.When))) })
		s.draw(nil, func() {
			s.SetLineWidth(0.2)
			s.Line(x, y+line*0.28, x+width, y+line*0.28)
		})
	}
	y += line * 0.3
	const tick = 0.62 // of a line, the side of the box to tick
	for i, step := range t.Do {
		y += line * 0.08
		if draw {
			s.step = s.add(nil, rolePart)
			s.draw(nil, func() {
				s.SetLineWidth(0.25)
				s.Rect(x, y+line*(1.02-tick), line*tick, line*tick, "D")
			})
		}
		y = s.flow(step, x+line, y, width-line, points, draw)
		if i < len(t.Press) && t.Press[i] != "" {
			y = s.flow(s.say("card.keys", "keys", t.Press[i]), x+line, y, width-line, points*keysSmaller, draw)
		}
	}
	return y + line*0.15 - top
}

// token is a word of a step, or a gap.
var token = regexp.MustCompile(`\{[a-z]+\}|[^ {]+| +`)

// flow writes a step with line breaks and returns where its last line ends.
func (s *cardSheet) flow(step string, left, top, width, points float64, draw bool) float64 {
	line := leading(points)
	x, y := left, top+line
	parts := token.FindAllString(step, -1)
	for i := 0; i < len(parts); {
		// A word and a gap that touch stay on one line.
		j, wide := i, 0.0
		for j < len(parts) && (j == i || parts[j][0] != ' ' && parts[i][0] != ' ') {
			wide += s.partWidth(parts[j], points)
			j++
		}
		if parts[i][0] == ' ' && x == left {
			i = j
			continue
		}
		if x > left && x+wide > left+width {
			x, y = left, y+line
			if parts[i][0] == ' ' {
				i = j
				continue
			}
		}
		for _, part := range parts[i:j] {
			w := s.partWidth(part, points)
			s.broad = s.broad || w > width
			if x > left && x+w > left+width { // words that touch, longer than a line
				x, y = left, y+line
			}
			if draw {
				s.part(part, x, y, w, points)
			}
			x += w
		}
		i = j
	}
	return y
}

const inFrame = 1.0 // millimetres around the name of a gap, its frame between

// gapWord is the name of a gap, or nothing for a word.
func (s *cardSheet) gapWord(part string) string {
	if part[0] != '{' {
		return ""
	}
	return s.say("card.gap." + strings.Trim(part, "{}"))
}

func (s *cardSheet) partWidth(part string, points float64) float64 {
	if word := s.gapWord(part); word != "" {
		s.font("B", points*0.86)
		return s.wide(legible(word)) + 2*inFrame
	}
	s.font("", points)
	return s.wide(legible(part))
}

func (s *cardSheet) part(part string, x, y, width, points float64) {
	word := s.gapWord(part)
	if word == "" {
		s.font("", points)
		s.draw(s.step, func() { s.write(x, y, part) })
		return
	}
	line := leading(points)
	s.draw(nil, func() {
		s.SetLineWidth(0.2)
		s.Rect(x+0.35, y-line*0.66, width-0.7, line*0.86, "D")
	})
	s.font("B", points*0.86)
	s.draw(s.step, func() { s.write(x+inFrame, y, word) })
}
