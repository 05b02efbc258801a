package onpaper

import "strconv"

// Sizes of the picture's legend, in points.
const (
	legendMost   = 11.0
	besidePoints = 8.0 // where the steps are on the same page
	entriesApart = 3.0 // millimetres between two of its entries
	numberApart  = 1.2 // millimetres from a number to its key
)

// shares are the parts of a page's height that the picture and its legend may have beside
// the steps, the best first. On the smallest the keys of a console can still be told apart.
var shares = []float64{0.46, 0.40, 0.35, 0.30, 0.26}

// placed is where the picture stands within a height that its legend shares.
func (s *setter) placed(p *photo, top, room, points float64) (*Picture, []Piece) {
	wide, high := s.measure(p, room, points)
	s.legend(p, top+high+2, points, true)
	return &Picture{X: Margin + (s.paper.Width-2*Margin-wide)/2, Y: top, Width: wide, Height: high}, s.take()
}

func (s *setter) measure(p *photo, room, points float64) (wide, high float64) {
	scale := min((s.paper.Width-2*Margin)/p.width, (room-s.legend(p, 0, points, false)-4)/p.height)
	return max(0, p.width*scale), max(0, p.height*scale)
}

func (s *setter) pictureEnd(p *photo, top, room, points float64) float64 {
	_, high := s.measure(p, room, points)
	return top + high + 4 + s.legend(p, 0, points, false)
}

// legend places the number and the name of each key, one after the other as they are
// counted, and returns its height.
func (s *setter) legend(p *photo, top, points float64, draw bool) float64 {
	if len(p.marks) == 0 {
		return 0
	}
	line := leading(points, 1.25)
	x, y, right := Margin, top+line, s.paper.Width-Margin
	for i, m := range p.marks {
		number := strconv.Itoa(i + 1)
		first := s.wide("B", number)*points + numberApart
		wide := first + s.wide("", m.Key)*points
		if x > Margin && x+wide > right {
			x, y = Margin, y+line
		}
		if draw {
			s.part()
			s.put(Part, x, y, "B", points, number)
			s.put(Part, x+first, y, "", points, m.Key)
		}
		x += wide + entriesApart
	}
	return y - top
}
