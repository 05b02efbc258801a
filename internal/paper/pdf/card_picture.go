package pdf

import (
	"bytes"
	"image/jpeg"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"whistlestop/game/card"
)

// Sizes of the picture, in millimetres but for the letters' points.
const (
	badge       = 4.6
	badgePoints = 9.0
	legendMost  = 11.0
	legendLeast = 6.0
	columns     = 3

	besidePoints = 8.0 // of the legend where the steps are on the same page
	readable     = 7.5 // of the steps there: with smaller ones the picture gives way
)

// shares are the parts of a page's height that the picture and its legend may have beside
// the steps, the best first. On the smallest the keys of a console can still be told apart.
var shares = []float64{0.46, 0.40, 0.35, 0.30, 0.26}

// photo is the picture of a console, as it is printed.
type photo struct {
	width, height float64 // in points of the picture
	marks         []card.Mark
	display       *card.Mark
}

// photo is the card's picture; nil where it has none.
func (s *cardSheet) photo() *photo {
	if s.card.Picture == nil {
		return nil
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(s.card.Picture))
	if err != nil {
		return nil // a card that was checked has a picture that can be read
	}
	p := &photo{width: float64(size.Width), height: float64(size.Height)}
	if c := s.card.Console; c != nil {
		p.marks, p.display = c.Marks, c.Display
	}
	return p
}

// together is how much of the page's height the picture has where it stands above the
// steps, and the size of these; 0 where they cannot both be read on one page.
func (s *cardSheet) together(p *photo, top float64) (room, points float64) {
	for _, share := range shares {
		room = share * s.height
		if points = s.fitting(s.pictureEnd(p, top, room, besidePoints), pointsMost); points >= readable {
			return room, points
		}
	}
	return 0, 0
}

// measured is how large the picture is within a height that its legend shares.
func (s *cardSheet) measured(p *photo, room, points float64) (wide, high float64) {
	legend := float64(rowsOf(p.marks)) * leading(points)
	scale := min((s.width-2*margin)/p.width, (room-legend-4)/p.height)
	return max(0, p.width*scale), max(0, p.height*scale)
}

func rowsOf(marks []card.Mark) int { return (len(marks) + columns - 1) / columns }

func (s *cardSheet) pictureEnd(p *photo, top, room, points float64) float64 {
	_, high := s.measured(p, room, points)
	return top + high + 4 + float64(rowsOf(p.marks))*leading(points)
}

// picture writes the picture above the steps and returns where they begin.
func (s *cardSheet) picture(p *photo, top, room float64) (float64, error) {
	return s.pictureEnd(p, top, room, besidePoints), s.drawn(p, top, room, besidePoints)
}

// pictureAlone writes the picture on a page of its own.
func (s *cardSheet) pictureAlone(p *photo) error {
	s.AddPage()
	top := s.heading(s.say("card.picture.title", "rink", s.card.Rink), margin, 18, true) + 3
	points := legendMost
	for points > legendLeast && float64(rowsOf(p.marks))*leading(points) > s.height/3 {
		points -= pointsStep
	}
	return s.drawn(p, top, s.height-margin-top, points)
}

// drawn draws the picture of the console, its keys with numbers, and below it the number
// of each key.
func (s *cardSheet) drawn(p *photo, top, room, points float64) error {
	wide, high := s.measured(p, room, points)
	left := margin + (s.width-2*margin-wide)/2
	e := s.figure(nil, s.say("card.picture.title", "rink", s.card.Rink))
	s.draw(e, func() {
		options := fpdf.ImageOptions{ImageType: "JPEG"}
		s.RegisterImageOptionsReader("console", options, bytes.NewReader(s.card.Picture))
		s.ImageOptions("console", left, top, wide, high, false, options, 0, "")
		at := func(m card.Mark) (x, y, w, h float64) {
			return left + float64(m.X)*wide/1000, top + float64(m.Y)*high/1000, float64(m.Width) * wide / 1000, float64(m.Height) * high / 1000
		}
		for i, m := range p.marks {
			s.framed(at, m)
			s.badge(at, m, strconv.Itoa(i+1))
		}
		if p.display != nil {
			s.framed(at, *p.display)
			s.badge(at, *p.display, s.say("card.picture.display"))
		}
	})
	s.legend(p.marks, top+high+2, points)
	return s.Error()
}

// framed draws where a key is: white around black, so that it is seen on any picture.
func (s *cardSheet) framed(at func(card.Mark) (x, y, w, h float64), m card.Mark) {
	x, y, w, h := at(m)
	for _, line := range []struct {
		gray  int
		thick float64
	}{{255, 1.2}, {0, 0.5}} {
		s.SetDrawColor(line.gray, line.gray, line.gray)
		s.SetLineWidth(line.thick)
		s.Rect(x, y, w, h, "D")
	}
	s.SetDrawColor(0, 0, 0)
}

// badge writes a key's number at its upper left corner.
func (s *cardSheet) badge(at func(card.Mark) (x, y, w, h float64), m card.Mark, text string) {
	x, y, _, _ := at(m)
	s.font("B", badgePoints)
	wide := max(badge, s.wide(legible(text))+2)
	x, y = max(0, x-badge/2), max(0, y-badge/2)
	s.SetFillColor(255, 255, 255)
	s.SetLineWidth(0.3)
	s.Rect(x, y, wide, badge, "FD")
	s.write(x+(wide-s.wide(legible(text)))/2, y+badge*0.76, text)
}

// legend writes the number of each key, in columns from the top down.
func (s *cardSheet) legend(marks []card.Mark, top, points float64) {
	rows := rowsOf(marks)
	column := (s.width - 2*margin) / columns
	for i, m := range marks {
		x, y := margin+float64(i/rows)*column, top+float64(i%rows+1)*leading(points)
		s.draw(s.add(nil, rolePart), func() {
			s.font("B", points)
			s.write(x, y, strconv.Itoa(i+1))
			s.font("", points)
			s.write(x+8, y, m.Key)
		})
	}
}
