package progress

import (
	"encoding/csv"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// Table is the coordinator's list as a neutral document: for a printed page, or
// for a file of values with commas between.
type Table struct {
	Head []rules.Say `json:"head"`
	Rows [][]Cell    `json:"rows"`
}

// Cell is a cell of a table: sentences of the catalogue, or a text of its own.
type Cell struct {
	Says []rules.Say `json:"says,omitempty"`
	Text string      `json:"text,omitempty"`
}

// TableOf writes who is ready for what, a line a person: for each seat how ready
// they are and their best practice game, then what is weak, then the last day.
func TableOf(rows []Row) Table {
	t := Table{Head: []rules.Say{{Key: "drill.table.name"}}, Rows: [][]Cell{}}
	for _, seat := range Seats {
		t.Head = append(t.Head, rules.Say{Key: "drill.table." + string(seat)}, *script.Say("drill.table.best", "seat", "@drill.table."+string(seat)))
	}
	t.Head = append(t.Head, rules.Say{Key: "drill.table.weak"}, rules.Say{Key: "drill.table.last"})
	for _, r := range rows {
		line := []Cell{{Text: r.Name}}
		last, weak := Day(0), map[plot.Skill]bool{}
		for _, s := range r.Seats {
			best := Cell{}
			if s.Best > 0 {
				best.Text = strconv.Itoa(s.Best)
			}
			line = append(line, Cell{Says: []rules.Say{{Key: "drill.table." + string(s.Status)}}}, best)
			last = max(last, s.Last)
			for _, k := range s.Weak {
				weak[k] = true
			}
		}
		var skills Cell
		for _, k := range plot.Skills {
			if weak[k] {
				skills.Says = append(skills.Says, rules.Say{Key: "drill.skill." + string(k)})
			}
		}
		t.Rows = append(t.Rows, append(line, skills, Cell{Text: last.String()}))
	}
	return t
}

// guarded are the first characters that make a spreadsheet take a text for a
// formula (OWASP, CSV injection; from memory). Names come from other people's
// codes, and must never be carried out.
const guarded = "=+-@\t\r\n'"

// CSV writes the table as RFC 4180 has it, in UTF-8 with a byte order mark, by
// which spreadsheets know it. `words` gives a sentence of the catalogue.
func (t Table) CSV(words func(rules.Say) string) string {
	rows := [][]string{{}}
	for _, s := range t.Head {
		rows[0] = append(rows[0], guard(words(s)))
	}
	for _, row := range t.Rows {
		var line []string
		for _, c := range row {
			var said []string
			for _, s := range c.Says {
				said = append(said, words(s))
			}
			line = append(line, guard(c.Text+strings.Join(said, "; ")))
		}
		rows = append(rows, line)
	}
	var out strings.Builder
	out.WriteString("\ufeff")
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	if err := w.WriteAll(rows); err != nil {
		panic(err) // a builder takes everything
	}
	return out.String()
}

// guard puts an apostrophe before what a spreadsheet would take for a formula.
func guard(text string) string {
	if text != "" && strings.ContainsRune(guarded, rune(text[0])) {
		return "'" + text
	}
	return text
}

// String writes a day as YYYY-MM-DD.
func (d Day) String() string {
	return time.Date(2020, time.January, 1+int(d), 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}
