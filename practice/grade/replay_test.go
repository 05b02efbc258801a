package grade

import (
	"errors"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/demo"
	"whistlestop/internal/proof/openplay"
	"whistlestop/internal/proof/whole"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// TestReplaysOfRealGames: every game of the open data can be replayed as practice,
// with the goals and calls that it had, and a perfect robot has 100.
func TestReplaysOfRealGames(t *testing.T) {
	games, err := openplay.Read(openplay.Folder())
	if errors.Is(err, openplay.ErrNone) {
		t.Skip("SKIPPED:", err)
	} else if err != nil {
		t.Fatal(err)
	}
	for i, g := range games {
		ledger, err := g.Ledger()
		if err != nil {
			t.Fatal(err)
		}
		replayed(t, fmt.Sprintf("game %d", i), ledger, 1+i%plot.Levels)
	}
}

// TestReplaysOfTheDemonstration: a game that goes on can be replayed, too.
func TestReplaysOfTheDemonstration(t *testing.T) {
	for _, moment := range demo.Moments() {
		ledger, err := demo.Ledger(moment, script.Start)
		if err != nil {
			t.Fatal(err)
		}
		replayed(t, moment, ledger, 3)
	}
}

// TestOvertimeRepeats: a game is replayed through as many overtimes as it had, and
// one that is tied in the end is over then.
func TestOvertimeRepeats(t *testing.T) {
	d := whole.Division(t, "harbour-u14")
	d.Overtime.Repeat = true
	s, err := maker.Generate(4, 2, []plot.Skill{plot.StartStop}, d)
	if err != nil {
		t.Fatal(err)
	}
	p := s.Plot
	p.Whistles = []plot.Whistle{}
	for period := range 6 {
		p.Whistles = append(p.Whistles, plot.Whistle{At: entry.At{Period: period + 1, Elapsed: entry.Clock(1, 0)}, Why: plot.ForPuck})
	}
	if s, err = maker.Direct(p); err != nil {
		t.Fatal(err)
	}
	begun := 0
	for _, a := range s.Answers {
		if b, is := a.Entry.Body.(entry.StageBegun); is && b.Stage.Kind == entry.Overtime {
			begun++
		}
	}
	if last := s.Answers[len(s.Answers)-1].Entry.Body.(entry.StageBegun); begun != 3 || last.Stage.Kind != entry.Over {
		t.Errorf("%d overtimes, and the last stage is %v", begun, last.Stage)
	}
	replayed(t, "three overtimes", s.Ledger(), 2)
}

// replayed plays a ledger as practice: its goals and calls are those of the game,
// and a perfect robot has 100.
func replayed(t *testing.T, name string, ledger []entry.Entry, level int) {
	t.Helper()
	p, err := maker.FromLedger(ledger, level)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	s, err := maker.Direct(p)
	if err != nil {
		t.Errorf("%s: %v", name, err)
		return
	}
	was, _ := rules.Fold(ledger)
	is, _ := s.State()
	if len(was.Goals) != len(is.Goals) || len(was.Calls) != len(is.Calls) || was.Teams[0].Score != is.Teams[0].Score {
		t.Errorf("%s: %d goals and %d calls became %d and %d", name, len(was.Goals), len(was.Calls), len(is.Goals), len(is.Calls))
	}
	if g := perfect(s).grade(t); g.Score != 100 || len(g.Findings) > 0 {
		t.Errorf("%s: %d points, %+v", name, g.Score, g.Findings)
	}
}
