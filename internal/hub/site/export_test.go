package site

import "whistlestop/internal/hub/people"

// Row is a row of the table of routes, as a test reads it.
type Row struct {
	Pattern                             string
	Anybody, Bench, Team, Signed, Right bool
	Of                                  people.Right
	Reach                               people.Reach
	Fresh                               bool
}

// Table is all that a site answers.
func (s *Site) Table() (rows []Row) {
	for _, r := range s.table() {
		rows = append(rows, Row{
			Pattern: r.pattern, Anybody: r.guard == anybody, Bench: r.guard == benches, Team: r.guard == followers,
			Signed: r.guard == signedIn, Right: r.guard == byRight, Of: r.right, Reach: r.reach, Fresh: r.fresh,
		})
	}
	return rows
}

// Spread is over how long so many come back.
var Spread = spread
