package main

import (
	"encoding/json"

	"whistlestop/internal/paper/tables"
	"whistlestop/internal/wording"
	"whistlestop/record/report"
)

type totalsCommand struct {
	Game string `arg:""`
	JSON bool
}

// totals prints the official totals of a game.
func (p *Program) totals(c totalsCommand) error {
	_, state, err := readGame(c.Game)
	if err != nil {
		return cannotRead(c.Game, err)
	}
	totals := report.Count(state)
	if c.JSON {
		out := json.NewEncoder(p.Out)
		out.SetIndent("", "  ")
		return out.Encode(struct {
			Version int `json:"version"` // of this form
			report.Totals
		}{report.TotalsVersion, totals})
	}
	return tables.Text.Write(p.Out, wording.Totals(p.words, state, totals))
}
