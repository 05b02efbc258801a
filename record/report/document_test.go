package report_test

import (
	"fmt"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// build makes the document of the tape.
func (g *tape) build(times rulebook.ReportTimes) report.Document {
	g.t.Helper()
	d, err := report.Build(g.ledger, report.Options{Times: times})
	if err != nil {
		g.t.Fatal(err)
	}
	return d
}

// TestTimesAreRoundedUp: tenths that are left are rounded up to the whole second
// (IIHF 2025/26 Rules 33.2 and 35.6), and elapsed time adds up with it.
func TestTimesAreRoundedUp(t *testing.T) {
	g := newTape(t)
	g.period(1)
	g.ledger = append(g.ledger, entry.Entry{
		ID: "01JTEST0000000000000000099", Game: "g", Seq: 3,
		At:   entry.At{Period: 1, Elapsed: entry.Clock(19, 17) + 700}, // 42.3 seconds left
		Body: entry.Goal{Side: entry.Home, Scorer: "9", Unassisted: true},
	})
	for times, want := range map[rulebook.ReportTimes]string{
		rulebook.TimesUnsaid: "19:17", rulebook.TimesElapsed: "19:17", rulebook.TimesRemaining: "0:43",
	} {
		at := g.build(times).Goals[0].At
		if at.Text != want || at.Elapsed != entry.Clock(19, 17) || at.Left != entry.Clock(0, 43) {
			t.Errorf("%q: %+v, want %s", times, at, want)
		}
	}
}

// TestEveryPartHasALine: one line for each penalty, also for one player and one
// incident (a US officials' association, "Scorekeeper's Corner"); what a goal
// wiped out is written and not charged.
func TestEveryPartHasALine(t *testing.T) {
	g := newTape(t)
	g.period(1)
	g.post(1, 2, 0, entry.Penalty{
		Side: entry.Home, Player: "9", Call: "boarding", ServedBy: "10",
		Parts: []entry.Part{entry.Minor, entry.Major, entry.GameMisconduct},
	})
	g.post(1, 4, 0, entry.Penalty{Side: entry.Visitors, Player: "4", Call: "hooking", Parts: []entry.Part{entry.Minor}, Signalled: true})
	g.post(1, 4, 0, entry.Goal{Side: entry.Home, Scorer: "8"})
	g.period(2)
	d := g.build("")
	var lines []string
	for _, p := range d.Penalties {
		line := fmt.Sprint(p.Off.Text, " ", p.Player, " ", p.Kind, " ", p.Charged, " ", p.How)
		if p.End != nil {
			line += fmt.Sprint(" ", p.Start.Text, " to ", p.End.Text, " by ", p.ServedBy)
		}
		lines = append(lines, line)
	}
	want := strings.Join([]string{
		"2:00 9 minor 2:00 time 7:00 to 9:00 by 10",
		"2:00 9 major 5:00 time 2:00 to 7:00 by 10",
		"2:00 9 game_misconduct 10:00 ",
		"4:00 4 minor 0:00 wiped",
	}, "\n")
	if got := strings.Join(lines, "\n"); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if !d.Penalties[3].Wiped || d.Goals[0].Class != rules.ShortHanded {
		t.Errorf("%+v", d.Goals[0])
	}
}
