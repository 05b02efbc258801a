package pdf

import (
	"bytes"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"whistlestop/game/card"
	"whistlestop/game/card/onpaper"
)

// The number at a key on the picture: its frame in millimetres, its letters in points.
const (
	badge       = 4.6
	badgePoints = 9.0
)

// picture draws the picture of the console, its keys with numbers, and below it the number
// of each key.
func (s *cardSheet) picture(p *onpaper.Picture, legend []onpaper.Piece) error {
	var marks []card.Mark
	var display *card.Mark
	if c := s.card.Console; c != nil {
		marks, display = c.Marks, c.Display
	}
	e := s.figure(nil, s.say("card.picture.title", "rink", s.card.Rink))
	s.draw(e, func() {
		options := fpdf.ImageOptions{ImageType: "JPEG"}
		s.RegisterImageOptionsReader("console", options, bytes.NewReader(s.card.Picture))
		s.ImageOptions("console", p.X, p.Y, p.Width, p.Height, false, options, 0, "")
		at := func(m card.Mark) (x, y, w, h float64) {
			return p.X + float64(m.X)*p.Width/1000, p.Y + float64(m.Y)*p.Height/1000, float64(m.Width) * p.Width / 1000, float64(m.Height) * p.Height / 1000
		}
		for i, m := range marks {
			s.framed(at, m)
			s.badge(at, m, strconv.Itoa(i+1))
		}
		if display != nil {
			s.framed(at, *display)
			s.badge(at, *display, s.say("card.picture.display"))
		}
	})
	s.draws(legend)
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
