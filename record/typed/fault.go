package typed

import (
	"strconv"

	"whistlestop/game/rules"
)

// Fault is why a file cannot be read, and where. Row counts from 1 with the
// heading; 0 is the whole file.
type Fault struct {
	Row    int
	Column string // its heading; empty: the whole row
	Say    rules.Say
}

// Error names the place and the key of the sentence.
func (f *Fault) Error() string {
	where := "file"
	if f.Row > 0 {
		where = "row " + strconv.Itoa(f.Row)
	}
	if f.Column != "" {
		where += ", column " + f.Column
	}
	return where + ": " + f.Say.Key
}

// fault makes a fault; pairs are the arguments of its sentence.
func fault(row int, column, key string, pairs ...string) *Fault {
	pairs = append(pairs, "row", strconv.Itoa(row), "column", column)
	return &Fault{Row: row, Column: column, Say: rules.Say{Key: key, Args: rules.Pairs(pairs...)}}
}
