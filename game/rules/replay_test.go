package rules_test

import (
	"errors"
	"fmt"
	"sort"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/proof/openplay"
)

// The replay plays real games, given as anonymous facts, from their penalties
// and goals alone, and compares the class of every goal, and the skaters where
// the data has them. The folder can be set by WHISTLESTOP_PBP.
func TestReplayOfOpenData(t *testing.T) {
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip("SKIPPED:", err)
	} else if err != nil {
		t.Fatal(err)
	}
	isHard, err := openplay.ReadHard(openplay.Folder())
	if err != nil {
		t.Fatal(err)
	}
	var goals, right, hards, hardRight, codes, codesRight int
	var wrong []string
	for _, game := range games {
		ledger, err := game.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		state := mustFold(t, ledger)
		got := state.Goals
		for _, e := range game.Events {
			if e.Kind != "goal" || e.ShootOut {
				continue
			}
			g := got[0]
			got = got[1:]
			goals++
			match := e.OfficialClass() == g.Class
			if match {
				right++
			}
			if isHard[openplay.Hard{Game: game.ID, Period: e.Period, Second: e.Second, Team: e.Team}] {
				hards++
				if match {
					hardRight++
				}
			}
			skaters, known := e.Skaters()
			if known {
				codes++
				if skaters == g.Skaters {
					codesRight++
				}
			}
			if !match || known && skaters != g.Skaters {
				wrong = append(wrong, describe(game, e, g))
			}
		}
	}
	sort.Strings(wrong)
	for _, w := range wrong {
		t.Log(w)
	}
	t.Logf("goals reproduced: %d of %d", right, goals)
	t.Logf("strength reproduced: %d of %d", codesRight, codes)
	t.Logf("hard goals reproduced: %d of %d", hardRight, hards)
	if goals == 0 || float64(right) < 0.997*float64(goals) {
		t.Errorf("only %d of %d goals have the class that the league gave them", right, goals)
	}
}

func describe(game openplay.Game, e openplay.Event, g rules.Goal) string {
	return fmt.Sprintf("%s period %d %s %s: the league says %s %s, the fold %s %d against %d", game.ID, e.Period,
		entry.Millis(e.Second)*1000, e.Team, e.Class, e.Code, g.Class, g.Skaters[0], g.Skaters[1])
}

// BenchmarkSeason folds a season of 1,300 games: the open data, again and again.
func BenchmarkSeason(b *testing.B) {
	games, err := openplay.Read(openplay.Folder())
	if err != nil {
		b.Skip("SKIPPED:", err)
	}
	var ledgers [][]entry.Entry
	for i := range 1300 {
		ledger, err := games[i%len(games)].Ledger()
		if err != nil {
			b.Fatal(err)
		}
		ledgers = append(ledgers, ledger)
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, ledger := range ledgers {
			if _, err := rules.Fold(ledger); err != nil {
				b.Fatal(err)
			}
		}
	}
}
