package pdf

import (
	"math"
	"strconv"
	"strings"

	"codeberg.org/go-pdf/fpdf"

	"whistlestop/record/report"
)

// stroke is one line of the pen, point by point.
type stroke []fpdf.PointType

// strokes reads SVG path data of the kind that a signature has: M, L, H, V, Q, C
// and Z, absolute or relative. What cannot be read ends the drawing there, so that
// a broken signature still shows what was drawn.
func strokes(path string) []stroke {
	r := &pen{text: path}
	for r.command() {
	}
	return r.done
}

// pen follows a path.
type pen struct {
	text  string
	at    int
	last  byte // command that numbers without one repeat
	x, y  float64
	start fpdf.PointType
	line  stroke
	done  []stroke
}

const (
	commands  = "MLHVQCZ"
	curveBits = 8       // straight pieces of a curve
	pointMost = 100_000 // of a drawing that is too fine to be a signature
)

// command follows one command and reports whether there may be another.
func (p *pen) command() bool {
	p.space()
	if p.at >= len(p.text) || len(p.line) > pointMost {
		p.lift()
		return false
	}
	if c := p.text[p.at]; strings.ContainsRune(commands, rune(c&^0x20)) && c > '@' {
		p.last = c
		p.at++
	} else if p.last == 0 || p.last|0x20 == 'z' {
		p.lift()
		return false
	}
	relative := p.last >= 'a'
	numbers, ok := p.numbers(map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'Q': 4, 'C': 6, 'Z': 0}[p.last&^0x20])
	if !ok {
		p.lift()
		return false
	}
	base := fpdf.PointType{}
	if relative {
		base = fpdf.PointType{X: p.x, Y: p.y}
	}
	point := func(i int) fpdf.PointType {
		return fpdf.PointType{X: base.X + numbers[i], Y: base.Y + numbers[i+1]}
	}
	here := fpdf.PointType{X: p.x, Y: p.y}
	switch p.last &^ 0x20 {
	case 'M':
		p.lift()
		p.to(point(0))
		p.start = point(0)
		p.last -= 'M' - 'L' // further pairs are lines
	case 'L':
		p.to(point(0))
	case 'H':
		p.to(fpdf.PointType{X: base.X + numbers[0], Y: p.y})
	case 'V':
		p.to(fpdf.PointType{X: p.x, Y: base.Y + numbers[0]})
	case 'Q':
		p.curve(here, point(0), point(0), point(2), true)
	case 'C':
		p.curve(here, point(0), point(2), point(4), false)
	case 'Z':
		p.to(p.start)
	}
	return true
}

// curve follows a Bézier curve in straight pieces.
func (p *pen) curve(a, b, c, d fpdf.PointType, quadratic bool) {
	for i := 1; i <= curveBits; i++ {
		t := float64(i) / curveBits
		u := 1 - t
		at := func(a, b, c, d float64) float64 {
			if quadratic {
				return u*u*a + 2*u*t*b + t*t*d
			}
			return u*u*u*a + 3*u*u*t*b + 3*u*t*t*c + t*t*t*d
		}
		p.to(fpdf.PointType{X: at(a.X, b.X, c.X, d.X), Y: at(a.Y, b.Y, c.Y, d.Y)})
	}
}

func (p *pen) to(point fpdf.PointType) {
	p.line = append(p.line, point)
	p.x, p.y = point.X, point.Y
}

// lift ends a line of the pen.
func (p *pen) lift() {
	if len(p.line) > 0 {
		p.done = append(p.done, p.line)
	}
	p.line = nil
}

func (p *pen) space() {
	for p.at < len(p.text) && strings.ContainsRune(" ,\t\n", rune(p.text[p.at])) {
		p.at++
	}
}

// numbers reads so many numbers. A sign or a second point begins a new one.
func (p *pen) numbers(count int) ([]float64, bool) {
	list := make([]float64, 0, count)
	for range count {
		p.space()
		from, point := p.at, false
		for ; p.at < len(p.text); p.at++ {
			c := p.text[p.at]
			if c == '-' && p.at == from || c >= '0' && c <= '9' || c == '.' && !point {
				point = point || c == '.'
				continue
			}
			break
		}
		n, err := strconv.ParseFloat(p.text[from:p.at], 64)
		if err != nil || math.Abs(n) > 1e6 {
			return nil, false
		}
		list = append(list, n)
	}
	return list, true
}

// sign draws a signature as large as it fits into a box.
func (s *reportSheet) sign(one report.Signature, x, y, width, height float64) {
	all := strokes(one.Drawing)
	low := fpdf.PointType{X: math.Inf(1), Y: math.Inf(1)}
	high := fpdf.PointType{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, line := range all {
		for _, point := range line {
			low.X, low.Y = min(low.X, point.X), min(low.Y, point.Y)
			high.X, high.Y = max(high.X, point.X), max(high.Y, point.Y)
		}
	}
	if len(all) == 0 {
		return
	}
	scale := min(width/max(high.X-low.X, 1), height/max(high.Y-low.Y, 1))
	s.draw(s.figure(nil, s.say("paper.figure.signature", "name", one.Name)), func() { s.trace(all, x, y, low, scale) })
}

// trace draws the lines of a pen.
func (s *sheet) trace(all []stroke, x, y float64, low fpdf.PointType, scale float64) {
	s.SetDrawColor(0, 0, 0)
	s.SetLineWidth(0.35)
	s.SetLineCapStyle("round")
	s.SetLineJoinStyle("round")
	for _, line := range all {
		place := func(p fpdf.PointType) (float64, float64) {
			return x + (p.X-low.X)*scale, y + (p.Y-low.Y)*scale
		}
		s.MoveTo(place(line[0]))
		if len(line) == 1 {
			s.LineTo(place(line[0]))
		}
		for _, point := range line[1:] {
			s.LineTo(place(point))
		}
		s.DrawPath("D")
	}
	s.SetLineCapStyle("butt")
	s.SetLineJoinStyle("miter")
}
