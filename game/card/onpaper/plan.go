package onpaper

import (
	"bytes"
	"image/jpeg"
	"slices"

	"whistlestop/game/card"
	"whistlestop/game/rules"
)

// Paper is a page in millimetres.
type Paper struct{ Width, Height float64 }

// The papers that a card is printed on.
var (
	A4     = Paper{210, 297}
	Letter = Paper{215.9, 279.4}
)

// Margin is left free at every edge of a page, in millimetres.
const Margin = 12.0

// Words are the texts of a language by their keys.
type Words interface {
	Text(key string, args rules.Args) string
}

// Wide is how wide a text is in the style "" or "B", in millimetres for each point of its
// size: a text is as many times wider as it is larger.
type Wide func(style, text string) float64

// Role says what a piece is a part of.
type Role int

// The roles.
const (
	Aside   Role = iota // a line, a frame, a box: nothing that is read
	Part                // a sentence, or a line of a list
	Heading             // of a happening
	Title               // of the page
)

// Piece is something with its place on a page, in millimetres from the upper left corner.
// Text stands with its baseline at Y; without text it is a rectangle, or a line where it
// has no height.
type Piece struct {
	Role          Role
	Of            int // pieces of one sentence have the same number
	X, Y          float64
	Width, Height float64
	Thick         float64 // of a line, in millimetres
	Text, Style   string
	Points        float64
}

// Picture is where the picture of the console stands.
type Picture struct{ X, Y, Width, Height float64 }

// Plan is a card on paper.
type Plan struct {
	Paper  Paper
	First  []Piece  // the page of the steps
	Photo  *Picture // nil: there is none
	Legend []Piece  // the numbers of the keys, below the picture
	Alone  bool     // the picture has a page of its own, with this heading
	Above  []Piece
	Second []Piece // what to do if something is wrong; none: the card says nothing of it

	Points   float64     // of the steps; 0: they do not fit at all
	Over     float64     // by which part the steps are too long for their page, at the least; 0: they are not
	Longest  []card.When // the happenings with the most to read, the longest first
	NoSecond bool        // what to do if something is wrong does not fit on its page
}

// Printable reports whether the card can be printed.
func (p Plan) Printable() bool { return p.Points > 0 && !p.NoSecond }

// Crowded reports whether the steps, with the picture if there is one, do not stand on one page.
func (p Plan) Crowded() bool { return p.Points == 0 || p.Alone }

// Pages is how many pages are printed.
func (p Plan) Pages() int {
	pages := 1
	if p.Alone {
		pages++
	}
	if len(p.Second) > 0 {
		pages++
	}
	return pages
}

// form is a way to set the steps.
type form struct {
	columns int
	lead    float64 // height of a line, in sizes of its letters
	runOn   bool    // the keys follow the step on its line
}

// forms are the ways, the most comfortable first.
var forms = []form{{columns: 2, lead: 1.25}, {columns: 2, lead: 1.12, runOn: true}, {columns: 3, lead: 1.12, runOn: true}}

// The sizes of the steps, in points: the largest that fits is taken.
const (
	pointsMost  = 12.0
	pointsLeast = 6.0 // where the page has no picture
	pointsStep  = 0.25
)

// readable are the least sizes of the steps beside a picture. With smaller ones the picture
// has a page of its own.
var readable = []float64{7.5, 7}

// Make finds out how a card stands on a paper.
func Make(c card.Card, paper Paper, words Words, wide Wide) Plan {
	s := &setter{card: c, paper: paper, words: words, measured: wide, wides: map[string]float64{}}
	s.read()
	p := Plan{Paper: paper}
	top := s.head()
	head := s.take()
	photo := s.photo()
	if photo != nil {
		s.beside(&p, photo, top)
	}
	if p.Points == 0 {
		s.without(&p, photo, top)
	}
	p.First = append(head, p.First...)
	if p.Crowded() {
		p.Over, p.Longest = s.over(photo, top), s.longest()
	}
	s.second(&p)
	return p
}

// beside tries the steps below the picture.
func (s *setter) beside(p *Plan, photo *photo, top float64) {
	for _, least := range readable {
		for _, f := range forms {
			for _, share := range shares {
				room := share * s.paper.Height
				end := s.pictureEnd(photo, top, room, besidePoints)
				if points := s.fitting(end, f, least); points > 0 {
					p.Points = points
					p.Photo, p.Legend = s.placed(photo, top, room, besidePoints)
					s.steps(end, points, f, true)
					p.First = s.take()
					return
				}
			}
		}
	}
}

// without sets the steps on a page without the picture, which then has its own.
func (s *setter) without(p *Plan, photo *photo, top float64) {
	for _, f := range forms {
		if p.Points = s.fitting(top, f, pointsLeast); p.Points > 0 {
			s.steps(top, p.Points, f, true)
			p.First = s.take()
			break
		}
	}
	if p.Points == 0 || photo == nil {
		return
	}
	p.Alone = true
	at := s.heading(s.say("card.picture.title", "rink", s.card.Rink), Margin, 18, 1.25, true) + 3
	p.Above = s.take()
	points := legendMost
	for points > besidePoints && s.legend(photo, 0, points, false) > s.paper.Height/3 {
		points -= pointsStep
	}
	p.Photo, p.Legend = s.placed(photo, at, s.paper.Height-Margin-at, points)
}

// fitting is the largest size of letters, not below the least, in which the steps fit below
// a height; 0: none does.
func (s *setter) fitting(top float64, f form, least float64) float64 {
	for points := pointsMost; points >= least; points -= pointsStep {
		if s.steps(top, points, f, false) {
			return points
		}
	}
	return 0
}

// over is by which part the steps are longer than what their page has room for, as they are
// set most tightly: at the least a twentieth, because a column's end is never quite full.
func (s *setter) over(photo *photo, top float64) float64 {
	points := pointsLeast
	if photo != nil {
		points = readable[len(readable)-1]
		top = s.pictureEnd(photo, top, shares[len(shares)-1]*s.paper.Height, besidePoints)
	}
	least := 1.0
	for i, f := range forms {
		need := 0.0
		for _, b := range s.blocks {
			need += s.block(b, 0, 0, s.column(f), points, f, false) + leading(points, f.lead)*apart
		}
		if part := need/(float64(f.columns)*(s.paper.Height-Margin-top)) - 1; i == 0 || part < least {
			least = part
		}
	}
	return max(0.05, least)
}

// longest are the three happenings with the most to read.
func (s *setter) longest() []card.When {
	list := slices.Clone(s.blocks)
	slices.SortStableFunc(list, func(a, b block) int { return b.letters - a.letters })
	whens := []card.When{}
	for _, b := range list[:min(3, len(list))] {
		whens = append(whens, b.when)
	}
	return whens
}

// setter places what is on a card.
type setter struct {
	card     card.Card
	paper    Paper
	words    Words
	measured Wide
	wides    map[string]float64
	blocks   []block
	pieces   []Piece
	of       int
	broad    bool // a word was wider than its column
}

func (s *setter) say(key string, pairs ...string) string {
	return s.words.Text(key, rules.Pairs(pairs...))
}

// wide is how wide a text is, in millimetres for each point.
func (s *setter) wide(style, text string) float64 {
	key := style + "\x00" + text
	w, known := s.wides[key]
	if !known {
		w = s.measured(style, text)
		s.wides[key] = w
	}
	return w
}

// part begins another sentence.
func (s *setter) part() { s.of++ }

func (s *setter) put(role Role, x, y float64, style string, points float64, text string) {
	s.pieces = append(s.pieces, Piece{Role: role, Of: s.of, X: x, Y: y, Style: style, Points: points, Text: text})
}

func (s *setter) line(x, y, width, thick float64) {
	s.pieces = append(s.pieces, Piece{X: x, Y: y, Width: width, Thick: thick})
}

func (s *setter) box(x, y, width, height, thick float64) {
	s.pieces = append(s.pieces, Piece{X: x, Y: y, Width: width, Height: height, Thick: thick})
}

// take takes what was placed since the last time.
func (s *setter) take() []Piece {
	list := s.pieces
	s.pieces = nil
	return list
}

// leading is the height of a line, in millimetres.
func leading(points, lead float64) float64 { return points * 0.3528 * lead }

// photo is the picture of a console, as large as it is, in points of the picture.
type photo struct {
	width, height float64
	marks         []card.Mark
}

// photo is the card's picture; nil where it has none that can be read.
func (s *setter) photo() *photo {
	if s.card.Picture == nil {
		return nil
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(s.card.Picture))
	if err != nil {
		return nil // a card that was checked has a picture that can be read
	}
	p := &photo{width: float64(size.Width), height: float64(size.Height)}
	if c := s.card.Console; c != nil {
		p.marks = c.Marks
	}
	return p
}
