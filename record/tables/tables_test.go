package tables_test

import (
	"fmt"
	"slices"
	"testing"

	"whistlestop/game/message"
	"whistlestop/record/tables"
)

type keys struct{}

func (keys) Text(key string, args message.Args) string { return key + args.Get("who") }

func Example() {
	one := tables.Table{Name: "wins", Columns: []tables.Column{{Name: "team"}, {Name: "share"}}}
	one.Rows = [][]tables.Cell{{tables.T("Millrace"), {Kind: tables.Thousandths, Number: 667}}}
	d := tables.Document{Parts: []tables.Part{{Title: "Open", Tables: []tables.Table{one}}}}
	for _, cell := range d.Flat("wins").Rows[0] {
		fmt.Println(cell.In(keys{}))
	}
	// Output:
	// Open
	// Millrace
	// 0.667
}

func TestCells(t *testing.T) {
	for want, cell := range map[string]tables.Cell{
		"=1": tables.T("=1"), "k.eyx": tables.S("k.ey", "who", "x"), "7": tables.N(7), "+3": {Kind: tables.Signed, Number: 3},
		"-3": {Kind: tables.Signed, Number: -3}, "12.034": {Kind: tables.Thousandths, Number: 12034}, "60:05": {Kind: tables.Seconds, Number: 3605},
	} {
		if got := cell.In(keys{}); got != want || cell.IsNumber() != (want != "=1" && want != "k.eyx") {
			t.Errorf("%+v is %q, want %q", cell, got, want)
		}
	}
}

// One table of all parts says of which part a row is, unless it does so already.
func TestFlat(t *testing.T) {
	part := func(title, column string) tables.Part {
		return tables.Part{Title: title, Tables: []tables.Table{
			{Name: "a", Columns: []tables.Column{{Name: column}}, Rows: [][]tables.Cell{{tables.N(1)}, {tables.N(2)}}}, {Name: "b"},
		}}
	}
	d := tables.Document{Parts: []tables.Part{part("x", "n"), part("y", "n")}}
	if flat := d.Flat("a"); len(flat.Rows) != 4 || len(flat.Columns) != 2 || flat.Rows[2][0].Text != "y" || !slices.Equal(d.Names(), []string{"a", "b"}) {
		t.Errorf("%+v", flat)
	}
	d = tables.Document{Parts: []tables.Part{part("x", "division")}}
	if flat := d.Flat("a"); len(flat.Columns) != 1 || len(flat.Rows[0]) != 1 {
		t.Errorf("%+v", flat)
	}
}
