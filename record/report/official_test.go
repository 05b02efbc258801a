package report_test

import (
	"errors"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/golden"
	"whistlestop/internal/proof/openplay"
	"whistlestop/record/report"
)

// TestTotalsAgreeWithTheLeague counts real games and compares with the league's
// own totals (sportsdataverse/fastRhockey-pwhl-raw, MIT).
func TestTotalsAgreeWithTheLeague(t *testing.T) {
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip("SKIPPED:", err)
	} else if err != nil {
		t.Fatal(err)
	}
	var sides, goals, chances, minutes int
	for _, game := range games {
		ledger, err := game.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		state, err := rules.Fold(ledger)
		if err != nil {
			t.Fatal(err)
		}
		totals := report.Count(state)
		for i, team := range []string{"H", "A"} {
			box, known := game.Box[team]
			if !known {
				continue
			}
			side := totals.Sides[i]
			sides++
			if side.PowerPlays.Goals == box.PowerPlayGoals {
				goals++
			} else {
				t.Logf("%s %s: %d power-play goals, the league says %d", game.ID, team, side.PowerPlays.Goals, box.PowerPlayGoals)
			}
			if side.PowerPlays.Chances == box.Chances {
				chances++
			} else {
				t.Logf("%s %s: %d chances, the league says %d", game.ID, team, side.PowerPlays.Chances, box.Chances)
			}
			if int(side.PenaltyMinutes/entry.Clock(1, 0)) == box.Minutes {
				minutes++
			} else {
				t.Logf("%s %s: %s penalty minutes, the league says %d", game.ID, team, side.PenaltyMinutes, box.Minutes)
			}
		}
	}
	t.Logf("power-play goals: %d of %d sides", goals, sides)
	t.Logf("chances: %d of %d sides", chances, sides)
	t.Logf("penalty minutes: %d of %d sides", minutes, sides)
	golden.Part(t, "statistics.md", "league", fmt.Sprintf("| figure | sides that agree | of |\n|---|---|---|\n"+
		"| power-play goals | %d | %d |\n| power plays | %d | %d |\n| penalty minutes | %d | %d |\n",
		goals, sides, chances, sides, minutes, sides))
	if sides == 0 || goals < sides*99/100 || chances < sides*95/100 || minutes < sides*98/100 {
		t.Error("the totals disagree with the league's more often than its known flaws explain")
	}
}
