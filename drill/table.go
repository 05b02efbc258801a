package drill

import (
	"time"

	"whistlestop/rules"
)

// Table is the coordinator's list as a neutral document: for a printed page, or
// for a file of values with commas between.
type Table struct {
	Head []rules.Say `json:"head"`
	Rows [][]Cell    `json:"rows"`
}

// Cell is a cell of a table: a sentence of the catalogue, or a text of its own.
type Cell struct {
	Say  *rules.Say `json:"say,omitempty"`
	Text string     `json:"text,omitempty"`
}

// TableOf writes who is ready for what, a line a person.
func TableOf(rows []Row) Table {
	t := Table{Head: []rules.Say{{Key: "drill.table.name"}}, Rows: [][]Cell{}}
	for _, seat := range Seats {
		t.Head = append(t.Head, rules.Say{Key: "drill.table." + string(seat)})
	}
	t.Head = append(t.Head, rules.Say{Key: "drill.table.last"})
	for _, r := range rows {
		line := []Cell{{Text: r.Name}}
		last := Day(0)
		for _, s := range r.Seats {
			line = append(line, Cell{Say: say("drill.table." + string(s.Status))})
			last = max(last, s.Last)
		}
		t.Rows = append(t.Rows, append(line, Cell{Text: last.String()}))
	}
	return t
}

// String writes a day as YYYY-MM-DD.
func (d Day) String() string {
	return time.Date(2020, time.January, 1+int(d), 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
}
