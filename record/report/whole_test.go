package report_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"whistlestop/game/rulebook"
	"whistlestop/internal/proof/golden"
	"whistlestop/internal/proof/whole"
	"whistlestop/record/report"
)

// TestWholeGame holds the document of a whole game to the one that was looked
// at, and the ledger to the one that other tests read.
func TestWholeGame(t *testing.T) {
	var lines bytes.Buffer
	for _, e := range whole.Game(t) {
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		lines.Write(append(line, '\n'))
	}
	golden.File(t, "whole-game.jsonl", lines.Bytes())
	for times, name := range map[rulebook.ReportTimes]string{
		rulebook.TimesElapsed: "whole-game-elapsed.json", rulebook.TimesRemaining: "whole-game-remaining.json",
	} {
		d, err := report.Build(whole.Game(t), report.Options{Times: times})
		if err != nil {
			t.Fatal(err)
		}
		text, err := json.MarshalIndent(d, "", "\t")
		if err != nil {
			t.Fatal(err)
		}
		golden.File(t, name, append(text, '\n'))
	}
}
