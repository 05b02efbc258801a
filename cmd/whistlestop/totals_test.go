package main

import (
	"encoding/json"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/record/report"
)

func TestTotalsOfAGame(t *testing.T) {
	g := newTape(t, "harbour-u14")
	g.begin(1)
	g.penalty(1, "2:00", minor(entry.Home, "4", "hooking"))
	g.goal(1, "2:30", entry.Visitors, "9")
	file := g.file()
	got, failed := command(t, "totals", file)
	for _, want := range []string{
		"1st period                   0         1",
		"power-play goals of chances  0/0       1/1",
		"time on power play           0:00      0:30",
		"penalty minutes              1:30      0:00",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in\n%s%s", want, got, failed)
		}
	}
	printed, _ := command(t, "totals", file, "--json")
	var totals report.Totals
	if err := json.Unmarshal([]byte(printed), &totals); err != nil || totals.Sides[1].PowerPlays.Goals != 1 {
		t.Errorf("%v in %s", err, printed)
	}
	var form struct{ Version int }
	if err := json.Unmarshal([]byte(printed), &form); err != nil || form.Version != report.TotalsVersion {
		t.Errorf("the totals do not say which form they have: %v in %s", err, printed)
	}
	if _, failed := command(t, "totals", "no-such-game.jsonl"); !strings.Contains(failed, "no-such-game.jsonl") {
		t.Errorf("a missing file: %q", failed)
	}
}
