package pdf

import (
	"io"
	"strconv"

	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/record/tables"
)

// The sizes of a document of tables, in points and millimetres.
const (
	tablesPoints = 8.5
	tablesTitle  = 22.0
	tablesPart   = 15.0
	tablesFoot   = 8.0  // room at the bottom for the number of the page
	cellMost     = 62.0 // how wide a column may be that is not the widest
	rowsTogether = 4    // a table begins on this page only with so many of its rows
)

// Tables prints a document of tables: the title, then each part on pages of its own.
func Tables(out io.Writer, d tables.Document, paper Paper, words Words) error {
	p, err := newPage(paper, d.Title.In(words), words.Language())
	if err != nil {
		return err
	}
	s := &tablesSheet{sheet: sheet{page: p, words: words, points: tablesPoints, under: tablesFoot, y: margin}, doc: d}
	s.again = s.runningHead
	s.y += 8
	s.put(s.tag(nil, roleTitle), d.Title.In(words), margin, s.y, s.width-2*margin, tablesTitle, "B", false)
	s.y += 2
	for _, about := range d.About {
		s.paragraph(about.In(words), "")
	}
	for i, part := range d.Parts {
		if i > 0 {
			s.part = part.Title
			s.turn()
		}
		s.part = part.Title
		s.division(part)
	}
	pages := s.PageCount()
	for n := 1; n <= pages; n++ {
		s.SetPage(n)
		s.SetFont(faces[0].name, "", 1) // the page may have ended in another one
		number := s.say("paper.page", "page", strconv.Itoa(n), "pages", strconv.Itoa(pages))
		s.put(nil, number, margin, s.height-margin, s.width-2*margin, 9, "", true)
	}
	return p.finish(out)
}

type tablesSheet struct {
	sheet
	doc  tables.Document
	part string
}

func (s *tablesSheet) say(key string, pairs ...string) string {
	return s.words.Text(key, rules.Pairs(pairs...))
}

func (s *tablesSheet) sentence(one message.Say) string { return s.words.Text(one.Key, one.Args) }

// runningHead heads every further page.
func (s *tablesSheet) runningHead() {
	s.y += 4
	s.put(nil, join(" · ", s.doc.Title.In(s.words), s.part), margin, s.y, s.width-2*margin, 10, "", false)
	s.y += 1.6
	s.rule(margin, s.y, s.width-2*margin, 0.3)
	s.y += 2
}

// division prints one part.
func (s *tablesSheet) division(part tables.Part) {
	if part.Title != "" {
		s.y += leading(tablesPart) + 2
		s.put(s.tag(nil, roleHeading), part.Title, margin, s.y, s.width-2*margin, tablesPart, "B", false)
		s.y += 1
	}
	for _, t := range part.Tables {
		if t.InNotes {
			continue
		}
		s.room(s.line() * (rowsTogether + 3))
		s.grids([]float64{1}, s.grid(t))
		for _, note := range t.Notes {
			s.paragraph(s.sentence(note), "")
		}
		s.y += s.line() * 0.6
	}
}

// grid is a table with columns as wide as what stands in them.
func (s *tablesSheet) grid(t tables.Table) grid {
	g := grid{title: s.sentence(t.Title), none: s.sentence(t.None)}
	kept := s.filled(t)
	for i, c := range t.Columns {
		if !kept[i] {
			continue
		}
		one := column{title: s.words.Text(c.Title, nil), right: c.Right}
		if c.Wide {
			g.rest = len(g.columns)
		}
		s.font("", s.points*0.82)
		one.width = s.wide(legible(one.title))
		for _, row := range t.Rows {
			s.font(styleOf(row[i].Bold), s.points)
			one.width = max(one.width, s.wide(legible(row[i].In(s.words))))
		}
		one.width = min(one.width+2*inside+1.4, cellMost)
		g.columns = append(g.columns, one)
	}
	s.fit(&g)
	for _, row := range t.Rows {
		var line cells
		for i, cell := range row {
			if kept[i] {
				line.text = append(line.text, cell.In(s.words))
			}
		}
		g.rows = append(g.rows, line)
	}
	return g
}

// filled says which columns have anything in them: a season without a shoot-out needs
// no column for them on paper.
func (s *tablesSheet) filled(t tables.Table) []bool {
	kept := make([]bool, len(t.Columns))
	for i := range t.Columns {
		for _, row := range t.Rows {
			kept[i] = kept[i] || row[i].IsNumber() && row[i].Number != 0 || !row[i].IsNumber() && row[i].In(s.words) != ""
		}
		kept[i] = kept[i] || t.Columns[i].Wide || t.Columns[i].Kept
	}
	return kept
}

// fit narrows the columns where all together leave the widest one no room: what does
// not fit on a line goes on in the next one.
func (s *tablesSheet) fit(g *grid) {
	const least = 34.0 // millimetres for the widest column
	all := 0.0
	for i, c := range g.columns {
		if i != g.rest {
			all += c.width
		}
	}
	most := s.width - 2*margin - least
	if all <= most {
		// What is left is for all, so that a row can be followed with the eye.
		natural := max(g.columns[g.rest].width, least)
		if left := s.width - 2*margin - all - natural; left > 0 {
			for i := range g.columns {
				if i != g.rest {
					g.columns[i].width += left / float64(len(g.columns))
				}
			}
		}
		return
	}
	for i := range g.columns {
		if !g.columns[i].right {
			g.columns[i].width *= most / all
		} else {
			g.columns[i].width *= max(most/all, 0.9)
		}
	}
}
