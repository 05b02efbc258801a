package rows_test

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/proof/whole"
	"whistlestop/record/audit"
	"whistlestop/record/report"
	"whistlestop/record/rows"
)

func wholeFacts(t testing.TB) (report.Document, []rows.Fact) {
	t.Helper()
	d, err := report.Build(whole.Game(t), report.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return d, rows.Of(d)
}

func check(t *testing.T, list []rows.Fact, d rulebook.Division) []audit.Finding {
	t.Helper()
	s, err := rows.Sheet(list, d, "", func(i int) int { return i + 2 })
	if err != nil {
		t.Fatal(err)
	}
	findings, err := audit.Check(s)
	if err != nil {
		t.Fatal(err)
	}
	return findings
}

// TestOurOwnReportAddsUp: the table of a game that was entered right has no
// finding, whatever the order of its rows; one that was changed has.
func TestOurOwnReportAddsUp(t *testing.T) {
	d, list := wholeFacts(t)
	if rows.DivisionID(list) != "harbour-open" {
		t.Errorf("the division is %q", rows.DivisionID(list))
	}
	backward := make([]rows.Fact, len(list))
	for i, f := range list {
		backward[len(list)-1-i] = f
	}
	for name, list := range map[string][]rows.Fact{"as written": list, "backward": backward} {
		for _, f := range check(t, list, d.Division) {
			t.Errorf("%s: %+v", name, f)
		}
	}

	d.Goals[0].Class, d.Totals.Sides[1].Penalties = "power_play", 40
	d.Penalties[0].End.Elapsed += entry.Clock(1, 0)
	found := map[audit.Kind]int{}
	for _, f := range check(t, rows.Of(d), d.Division) {
		found[f.Kind]++
		if f.Where.Row == 0 && f.Kind != audit.TotalWrong {
			t.Errorf("it does not say where: %+v", f)
		}
	}
	for _, kind := range []audit.Kind{audit.GoalClass, audit.TotalWrong, audit.ReleaseTime} {
		if found[kind] == 0 {
			t.Errorf("%s is not found: %v", kind, found)
		}
	}
}

// TestRefusesWhatNoReportSays names the row and the column.
func TestRefusesWhatNoReportSays(t *testing.T) {
	for _, one := range []struct {
		names, cells []string
		want         string
	}{
		{[]string{"record", "side", "period", "elapsed"}, []string{"goal", "upper", "1", "1:00"}, "row 2, column side: sheet.team"},
		{[]string{"record", "side", "period", "elapsed"}, []string{"goal", "home", "1", "-1:00"}, "row 2, column elapsed: sheet.time"},
		{[]string{"record", "side", "period", "elapsed"}, []string{"goal", "home", "one", "1:00"}, "row 2, column period: sheet.count"},
		{[]string{"record", "side", "number"}, []string{"player", "home", "123"}, "row 2, column number: sheet.number"},
		{[]string{"record", "side", "period", "part"}, []string{"penalty", "home", "1", "serious"}, "row 2, column part: sheet.penalty"},
		{[]string{"record", "side", "period", "class"}, []string{"goal", "home", "1", "lucky"}, "row 2, column class: sheet.class"},
		{[]string{"record", "key", "text"}, []string{"head", "home_score", "many"}, "row 2, column text: sheet.count"},
	} {
		list, err := rows.Read(one.names, [][]string{one.cells})
		if err != nil {
			t.Fatal(err)
		}
		d, _ := wholeFacts(t)
		if _, err = rows.Sheet(list, d.Division, "", func(i int) int { return i + 2 }); err == nil || err.Error() != one.want {
			t.Errorf("%v: %v, want %s", one.cells, err, one.want)
		}
	}
}

// FuzzSheet: whatever a table says can be audited, or is refused.
func FuzzSheet(f *testing.F) {
	d, _ := wholeFacts(f)
	f.Add("goal", "home", "1", "5:00", "9", "power_play", "2 4:00")
	f.Add("penalty", "visitors", "9", "", "bench", "minor", "4:00")
	f.Fuzz(func(t *testing.T, record, side, period, elapsed, number, what, back string) {
		list, err := rows.Read([]string{"record", "side", "period", "elapsed", "number", "class", "part", "key", "text", "back", "minutes"},
			[][]string{{record, side, period, elapsed, number, what, what, what, number, back, elapsed}})
		if err != nil {
			return
		}
		s, err := rows.Sheet(list, d.Division, "", func(i int) int { return i + 2 })
		if err != nil {
			return
		}
		if _, err := audit.Check(s); err != nil {
			t.Fatal(err)
		}
	})
}
