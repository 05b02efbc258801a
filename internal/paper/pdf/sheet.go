package pdf

// sheet is a document that is filled from top to bottom. A dry sheet draws
// nothing and only finds out whether all fits on the page.
type sheet struct {
	*page
	words  Words
	points float64 // size of the text in tables
	y      float64 // where the next block begins
	dry    bool
	full   bool   // something did not fit on the page
	again  func() // heads every further page
}

// footHigh is the room at the bottom of a page for the seal and the number of the page.
const footHigh = 9.0

func (s *sheet) line() float64 { return leading(s.points) }

func (s *sheet) bottom() float64 { return s.height - margin - footHigh }

// room begins a new page when a height does not fit on this one.
func (s *sheet) room(height float64) {
	if s.y+height <= s.bottom() {
		return
	}
	s.full = true
	if !s.dry {
		s.turn()
	}
}

// turn begins a new page.
func (s *sheet) turn() {
	s.AddPage()
	s.y = margin
	s.again()
}

// put writes a text in a size, not wider than a width: a longer one is narrowed,
// and cut at the end if that is not enough.
func (s *sheet) put(text string, x, y, width, points float64, style string, right bool) {
	if s.dry || text == "" {
		return
	}
	text = legible(text)
	s.SetFont(face, style, points)
	wide := s.GetStringWidth(text)
	for least := points * 0.8; wide > width && points > least; points -= 0.25 {
		s.SetFontSize(points)
		wide = s.GetStringWidth(text)
	}
	for letters := []rune(text); wide > width && len(letters) > 1; {
		letters = letters[:len(letters)-1]
		text = string(letters) + "…"
		wide = s.GetStringWidth(text)
	}
	if right {
		x += width - wide
	}
	s.Text(x, y, text)
}

// rule draws a line across.
func (s *sheet) rule(x, y, width, thick float64) {
	if s.dry {
		return
	}
	s.SetDrawColor(0, 0, 0)
	s.SetLineWidth(thick)
	s.Line(x, y, x+width, y)
}

// column is a column of a grid.
type column struct {
	title string
	width float64 // millimetres
	right bool    // numbers stand at the right
}

// cells is a row of a grid, one text for each column.
type cells struct {
	text []string
	bold bool
}

// grid is a table with a title. Rest gives the column with that index all the
// width that the others leave.
type grid struct {
	title   string
	columns []column
	rows    []cells
	none    string // what stands there instead of rows
	rest    int
}

const (
	gap    = 4.0 // millimetres between grids side by side
	inside = 0.8 // millimetres between a column's edge and its text
)

// grids draws grids side by side, whose widths are shares of the page. All go on
// over the page together.
func (s *sheet) grids(shares []float64, list ...grid) {
	most := 0
	for i := range list {
		if len(list[i].rows) == 0 && list[i].none != "" {
			list[i].rows = []cells{{text: []string{list[i].none}}}
			list[i].columns = []column{{title: "", width: 0}}
			list[i].rest = 0
		}
		most = max(most, len(list[i].rows))
	}
	s.room(s.line() * float64(min(most, 3)+3))
	s.gridHeads(shares, list)
	for row := range most {
		if s.y+s.line() > s.bottom() {
			s.room(s.line())
			if !s.dry {
				s.gridHeads(shares, list)
			}
		}
		s.y += s.line()
		s.across(shares, list, func(g grid, x float64, widths []float64) {
			if row < len(g.rows) {
				s.row(g, g.rows[row], x, widths)
			}
		})
	}
	s.y += s.line() * 0.7
}

// gridHeads draws the titles of the grids and of their columns.
func (s *sheet) gridHeads(shares []float64, list []grid) {
	s.y += s.line()
	s.across(shares, list, func(g grid, x float64, widths []float64) {
		s.put(g.title, x, s.y, sum(widths), s.points+1.5, "B", false)
	})
	s.y += s.line() * 0.85
	s.across(shares, list, func(g grid, x float64, widths []float64) {
		at := x
		for i, c := range g.columns {
			s.put(c.title, at+inside, s.y, widths[i]-2*inside, s.points*0.82, "", c.right)
			at += widths[i]
		}
		s.rule(x, s.y+s.line()*0.28, sum(widths), 0.3)
	})
	s.y += s.line() * 0.25
}

// across calls draw with each grid, where it stands, and the widths of its
// columns.
func (s *sheet) across(shares []float64, list []grid, draw func(grid, float64, []float64)) {
	whole := s.width - 2*margin - gap*float64(len(list)-1)
	x := margin
	for i, g := range list {
		width := whole * shares[i] / sum(shares[:len(list)])
		widths := make([]float64, len(g.columns))
		for j, c := range g.columns {
			widths[j] = c.width
		}
		widths[g.rest] = 0
		widths[g.rest] = width - sum(widths)
		draw(g, x, widths)
		x += width + gap
	}
}

func (s *sheet) row(g grid, r cells, x float64, widths []float64) {
	style := ""
	if r.bold {
		style = "B"
	}
	at := x
	for i, text := range r.text {
		s.put(text, at+inside, s.y, widths[i]-2*inside, s.points, style, g.columns[i].right)
		at += widths[i]
	}
	if !s.dry {
		s.SetDrawColor(150, 150, 150)
		s.SetLineWidth(0.1)
		s.Line(x, s.y+s.line()*0.26, x+sum(widths), s.y+s.line()*0.26)
	}
}

// paragraph writes a text over the whole width, broken into lines.
func (s *sheet) paragraph(text, style string) {
	s.SetFont(face, style, s.points+0.5)
	for _, line := range s.SplitText(legible(text), s.width-2*margin) {
		s.room(s.line() * 1.05)
		s.y += s.line() * 1.05
		s.put(line, margin, s.y, s.width-2*margin, s.points+0.5, style, false)
	}
}

func sum(list []float64) float64 {
	total := 0.0
	for _, one := range list {
		total += one
	}
	return total
}
