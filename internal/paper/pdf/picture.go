package pdf

import (
	"codeberg.org/go-pdf/fpdf"

	"whistlestop/game/lanes"
)

// picture draws the whole game on a page of its own, lying on its side.
func (s *reportSheet) picture(d lanes.Drawing) {
	size := fpdf.SizeType{Wd: s.width, Ht: s.height}
	s.close()
	s.AddPageFormat("L", size)
	width, height := s.GetPageSize()
	scale := min((width-2*margin)/float64(d.Width), (height-2*margin-s.under)/float64(d.Height))
	e := s.figure(nil, s.say("paper.figure.game"))
	s.draw(e, func() { s.shapes(d, scale) })
}

// shapes draws the shapes of a picture.
func (s *reportSheet) shapes(d lanes.Drawing, scale float64) {
	at := func(n int) float64 { return margin + float64(n)*scale }
	for _, one := range d.Shapes {
		s.SetDrawColor(int(one.Line.R), int(one.Line.G), int(one.Line.B))
		s.SetFillColor(int(one.Fill.R), int(one.Fill.G), int(one.Fill.B))
		s.SetLineWidth(max(0.1, float64(one.Thick)*scale))
		s.SetDashPattern([]float64{}, 0)
		if one.Dashed {
			s.SetDashPattern([]float64{5 * scale, 4 * scale}, 0)
		}
		style := ""
		if one.Fill != lanes.Clear {
			style = "F"
		}
		if one.Line != lanes.Clear {
			style += "D"
		}
		switch one.Kind {
		case lanes.Box:
			s.Rect(at(one.X), at(one.Y), float64(one.Width)*scale, float64(one.Height)*scale, style)
		case lanes.Disc:
			s.Circle(at(one.X), at(one.Y), float64(one.Width)*scale/2, style)
		case lanes.Straight:
			s.Line(at(one.X), at(one.Y), at(one.X+one.Width), at(one.Y+one.Height))
		case lanes.Label:
			s.label(one, at(one.X), at(one.Y), scale)
		}
	}
	s.SetDashPattern([]float64{}, 0)
}

// label writes a text at, around or before a point.
func (s *reportSheet) label(one lanes.Shape, x, y, scale float64) {
	style := ""
	if one.Bold {
		style = "B"
	}
	s.font(style, float64(one.Size)*scale/0.3528)
	text := legible(one.Text)
	switch one.Anchor {
	case lanes.Middle:
		x -= s.wide(text) / 2
	case lanes.End:
		x -= s.wide(text)
	case lanes.Start:
	}
	s.SetTextColor(int(one.Fill.R), int(one.Fill.G), int(one.Fill.B))
	s.write(x, y, text)
	s.SetTextColor(0, 0, 0)
}
