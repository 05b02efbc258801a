package pdf

import (
	"bytes"
	"image/jpeg"
	"strconv"

	"codeberg.org/go-pdf/fpdf"

	"whistlestop/game/card"
)

// Sizes on the page with the picture, in millimetres but for the letters' points.
const (
	badge       = 4.6
	badgePoints = 9.0
	legendMost  = 11.0
	legendLeast = 6.0
	columns     = 3
)

// picture writes the page with the picture of the console: its keys with numbers, and
// below it the number of each key.
func (s *cardSheet) picture() error {
	c := s.card
	if c.Picture == nil {
		return nil
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(c.Picture))
	if err != nil {
		return nil // a card that was checked has a picture that can be read
	}
	var marks []card.Mark
	var display *card.Mark
	if c.Console != nil {
		marks, display = c.Console.Marks, c.Console.Display
	}
	s.AddPage()
	top := s.heading(s.say("card.picture.title", "rink", c.Rink), margin, 18, true) + 3
	width := s.width - 2*margin
	rows := (len(marks) + columns - 1) / columns
	points := legendMost
	for points > legendLeast && float64(rows)*leading(points) > s.height/3 {
		points -= pointsStep
	}
	most := s.height - margin - top - float64(rows)*leading(points) - 6
	scale := min(width/float64(size.Width), most/float64(size.Height))
	wide, high := float64(size.Width)*scale, float64(size.Height)*scale
	left := margin + (width-wide)/2
	e := s.figure(nil, s.say("card.picture.title", "rink", c.Rink))
	s.draw(e, func() {
		options := fpdf.ImageOptions{ImageType: "JPEG"}
		s.RegisterImageOptionsReader("console", options, bytes.NewReader(c.Picture))
		s.ImageOptions("console", left, top, wide, high, false, options, 0, "")
		at := func(m card.Mark) (x, y, w, h float64) {
			return left + float64(m.X)*wide/1000, top + float64(m.Y)*high/1000, float64(m.Width) * wide / 1000, float64(m.Height) * high / 1000
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
	s.legend(marks, top+high+4, points)
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
	rows := (len(marks) + columns - 1) / columns
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
