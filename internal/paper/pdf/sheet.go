package pdf

import "strings"

// sheet is a document that is filled from top to bottom. A dry sheet draws
// nothing and only finds out whether all fits on the page. No text is ever cut:
// what is wider than its place goes on in the next line, and what is longer than
// the page on the next page.
type sheet struct {
	*page
	words  Words
	points float64 // size of the text in tables
	y      float64 // where the next block begins
	dry    bool
	full   bool    // something did not fit on the page
	again  func()  // heads every further page
	under  float64 // room at the bottom of a page for the seal and the number of the page
}

func (s *sheet) line() float64 { return leading(s.points) }

func (s *sheet) bottom() float64 { return s.height - margin - s.under }

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

// tag adds an element to the structure, unless nothing is drawn.
func (s *sheet) tag(up *element, role string) *element {
	if s.dry {
		return nil
	}
	return s.add(up, role)
}

// narrowest is how far a text is narrowed to stay on one line.
const narrowest = 0.8

// lay finds out how a text stands in a width: on one line, narrowed a little if
// that is enough, or on several.
func (s *sheet) lay(text string, width, points float64, style string) (lines []string, size float64) {
	text = legible(text)
	for size = points; size >= points*narrowest; size -= 0.25 {
		s.font(style, size)
		if s.wide(text) <= width {
			return []string{text}, size
		}
	}
	size = points * 0.9
	s.font(style, size)
	return s.split(text, width), size
}

// put writes a text with its first baseline at y, and returns how many lines it
// took. It belongs to an element, or to none.
func (s *sheet) put(e *element, text string, x, y, width, points float64, style string, right bool) int {
	if text == "" {
		return 0
	}
	lines, size := s.lay(text, width, points, style)
	for i, line := range lines {
		s.putLine(e, line, x, y+float64(i)*leading(points), width, size, style, right)
	}
	return len(lines)
}

// putLine writes one line that was laid.
func (s *sheet) putLine(e *element, line string, x, y, width, size float64, style string, right bool) {
	if s.dry || line == "" {
		return
	}
	s.font(style, size)
	if right {
		x += width - s.wide(strings.TrimRight(line, " "))
	}
	s.draw(e, func() { s.write(x, y, line) })
}

// rule draws a line across.
func (s *sheet) rule(x, y, width, thick float64) { s.ruleOf(0, x, y, width, thick) }

func (s *sheet) ruleOf(gray int, x, y, width, thick float64) {
	if s.dry {
		return
	}
	s.draw(nil, func() {
		s.SetDrawColor(gray, gray, gray)
		s.SetLineWidth(thick)
		s.Line(x, y, x+width, y)
	})
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
	about   string // what is seen from the place of the table, for those who hear it
}

const (
	gap    = 4.0 // millimetres between grids side by side
	inside = 0.8 // millimetres between a column's edge and its text
)

// laid is a grid with its place, ready to be drawn.
type laid struct {
	grid
	x      float64
	widths []float64
	strips []strip
	table  *element
	row    []*element // the cells of the row under way
}

// strip is a line of a row. A row whose texts do not fit on one line has several.
type strip struct {
	cells []stripCell
	bold  bool
	first bool // of its row
	last  bool
}

type stripCell struct {
	text string
	size float64
}

// grids draws grids side by side, whose widths are shares of the page. All go on
// over the page together.
func (s *sheet) grids(shares []float64, list ...grid) {
	all := s.layGrids(shares, list)
	most := 0
	for i := range all {
		most = max(most, len(all[i].strips))
	}
	s.room(s.line() * float64(min(most, 3)+3))
	s.gridHeads(all, true)
	for n := range most {
		if s.y+s.line() > s.bottom() {
			s.room(s.line())
			if !s.dry {
				s.gridHeads(all, false)
			}
		}
		s.y += s.line()
		for i := range all {
			if n < len(all[i].strips) {
				s.strip(&all[i], all[i].strips[n])
			}
		}
	}
	s.y += s.line() * 0.7
}

// layGrids works out where grids stand, and breaks their rows into lines.
func (s *sheet) layGrids(shares []float64, list []grid) []laid {
	whole := s.width - 2*margin - gap*float64(len(list)-1)
	x := margin
	all := make([]laid, len(list))
	for i, g := range list {
		if len(g.rows) == 0 && g.none != "" {
			g.rows = []cells{{text: []string{g.none}}}
			g.columns, g.rest = []column{{}}, 0
		}
		width := whole * shares[i] / sum(shares[:len(list)])
		l := laid{grid: g, x: x, widths: make([]float64, len(g.columns)), table: s.tag(nil, roleTable)}
		if l.table != nil && g.about != "" {
			l.table.extra = "/A<</O/Table/Summary" + hexText(g.about) + ">>"
		}
		for j, c := range g.columns {
			l.widths[j] = c.width
		}
		l.widths[g.rest] = 0
		l.widths[g.rest] = width - sum(l.widths)
		l.strips = s.strips(g, l.widths)
		all[i] = l
		x += width + gap
	}
	return all
}

// strips breaks the rows of a grid into lines.
func (s *sheet) strips(g grid, widths []float64) (list []strip) {
	for _, r := range g.rows {
		lines, sizes, most := make([][]string, len(r.text)), make([]float64, len(r.text)), 1
		for i, text := range r.text {
			lines[i], sizes[i] = s.lay(text, widths[i]-2*inside, s.points, styleOf(r.bold))
			most = max(most, len(lines[i]))
		}
		for n := range most {
			one := strip{bold: r.bold, first: n == 0, last: n == most-1, cells: make([]stripCell, len(r.text))}
			for i := range r.text {
				if n < len(lines[i]) {
					one.cells[i] = stripCell{text: lines[i][n], size: sizes[i]}
				}
			}
			list = append(list, one)
		}
	}
	return list
}

func styleOf(bold bool) string {
	if bold {
		return "B"
	}
	return ""
}

// gridHeads draws the titles of the grids and of their columns. Only those of the
// first page are read out.
func (s *sheet) gridHeads(all []laid, first bool) {
	s.y += s.line()
	lines := 1
	for i := range all {
		l := &all[i]
		var caption *element
		if first {
			caption = s.tag(l.table, roleCaption)
		}
		lines = max(lines, s.put(caption, l.title, l.x, s.y, sum(l.widths), s.points+1.5, "B", false))
	}
	s.y += s.line()*0.85 + float64(lines-1)*leading(s.points+1.5)
	lines = 1
	for i := range all {
		l := &all[i]
		var row *element
		if first {
			row = s.tag(l.table, roleRow)
		}
		at := l.x
		for j, c := range l.columns {
			var head *element
			if row != nil {
				head = s.tag(row, roleHead)
			}
			lines = max(lines, s.put(head, c.title, at+inside, s.y, l.widths[j]-2*inside, s.points*0.82, "", c.right))
			at += l.widths[j]
		}
	}
	s.y += float64(lines-1) * leading(s.points*0.82)
	for i := range all {
		s.rule(all[i].x, s.y+s.line()*0.28, sum(all[i].widths), 0.3)
	}
	s.y += s.line() * 0.25
}

func (s *sheet) strip(l *laid, one strip) {
	if one.first && !s.dry {
		row := s.tag(l.table, roleRow)
		l.row = make([]*element, len(one.cells))
		for i := range l.row {
			l.row[i] = s.tag(row, roleCell)
		}
	}
	at := l.x
	for i, c := range one.cells {
		var cell *element
		if i < len(l.row) {
			cell = l.row[i]
		}
		s.putLine(cell, c.text, at+inside, s.y, l.widths[i]-2*inside, c.size, styleOf(one.bold), l.columns[i].right)
		at += l.widths[i]
	}
	if one.last {
		s.ruleOf(150, l.x, s.y+s.line()*0.26, sum(l.widths), 0.1)
	}
}

// paragraph writes a text over the whole width, broken into lines.
func (s *sheet) paragraph(text, style string) {
	e := s.tag(nil, rolePart)
	s.font(style, s.points+0.5)
	for _, line := range s.split(legible(text), s.width-2*margin) {
		s.room(s.line() * 1.05)
		s.y += s.line() * 1.05
		s.putLine(e, line, margin, s.y, s.width-2*margin, s.points+0.5, style, false)
	}
}

func sum(list []float64) float64 {
	total := 0.0
	for _, one := range list {
		total += one
	}
	return total
}
