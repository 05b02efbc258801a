package intake_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/intake"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper/csv"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/record/audit"
	"whistlestop/record/report"
	"whistlestop/record/rows"
)

var errNoDivision = errors.New("no such division")

// holding finds the divisions that come with the program.
func holding(division string) intake.Holding {
	return intake.Holding{
		Division: division, Times: rulebook.TimesUnsaid, Known: []string{"harbour-u14"},
		Find: func(name string) (rulebook.Division, error) {
			for _, d := range rulebook.Divisions() {
				if d.ID == name {
					return d, nil
				}
			}
			return rulebook.Division{}, errNoDivision
		},
		Languages: slices.Values([]xlsx.Words{locale.English()}),
	}
}

// whole is a whole game in each form in which we write one.
func whole(t testing.TB) (forms map[string][]byte, d report.Document) {
	t.Helper()
	ledger, err := os.ReadFile("../../record/report/testdata/whole-game.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	entries, err := entry.ReadLedger(ledger)
	if err != nil {
		t.Fatal(err)
	}
	if d, err = report.Build(entries, report.Options{}); err != nil {
		t.Fatal(err)
	}
	document, err := json.Marshal(d)
	if err != nil {
		t.Fatal(err)
	}
	var commas, book bytes.Buffer
	if err := errors.Join(csv.Write(&commas, rows.Of(d)), xlsx.Write(&book, rows.Of(d), locale.English(), time.UTC)); err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{"ledger": ledger, "json": document, "csv": commas.Bytes(), "xlsx": book.Bytes()}, d
}

// One game gives one sheet, whatever it was written as, and the audit says the same.
func TestARecordInEachForm(t *testing.T) {
	forms, d := whole(t)
	want, err := audit.Check(audit.SheetOf(d))
	if err != nil {
		t.Fatal(err)
	}
	for form, text := range forms {
		r, err := intake.ReadRecord("game."+form, text, holding(""))
		if err != nil {
			t.Errorf("%s: %v", form, err)
			continue
		}
		got, err := audit.Check(r.Sheet)
		if err != nil || len(got) != len(want) {
			t.Errorf("%s: %d findings, want %d; %v", form, len(got), len(want), err)
		}
		if goals := len(r.Sheet.Goals); goals != len(d.Goals) {
			t.Errorf("%s: %d goals, want %d", form, goals, len(d.Goals))
		}
	}
	typedSheet, err := os.ReadFile("../../record/typed/testdata/example.csv")
	if err != nil {
		t.Fatal(err)
	}
	if r, err := intake.ReadRecord("typed.csv", typedSheet, holding("harbour-u14")); err != nil || len(r.Sheet.Goals) == 0 {
		t.Errorf("%+v, %v", r.Sheet, err)
	}
}

func TestNoRecord(t *testing.T) {
	forms, _ := whole(t)
	typedSheet := []byte("what,period,time\ngoal,1,3:12\n")
	for name, one := range map[string]struct {
		text     []byte
		division string
		want     string
	}{
		"a newer report":       {[]byte(`{"version":9999}`), "", "command.check.no_report"},
		"another document":     {[]byte(`{"form":"other"}`), "", "command.unreadable"},
		"no division":          {typedSheet, "", "command.check.no_division"},
		"half a ledger's line": {forms["ledger"][:40], "", "command.unreadable"},
		"half a workbook":      {forms["xlsx"][:200], "", "command.unreadable"},
		"too much":             {[]byte(strings.Repeat("x,", 1<<20)), "harbour-u14", "command.check.too_big"},
	} {
		_, err := intake.ReadRecord("game", one.text, holding(one.division))
		if got := message.Of(err).Key; err == nil || got != one.want {
			t.Errorf("%s: %v, want %s", name, err, one.want)
		}
	}
	if _, err := intake.ReadRecord("typed.csv", typedSheet, holding("elsewhere")); !errors.Is(err, errNoDivision) {
		t.Error(err)
	}
}

// FuzzReadRecord: whatever a file holds, it is read or refused.
func FuzzReadRecord(f *testing.F) {
	forms, _ := whole(f)
	for _, text := range forms {
		f.Add(text)
	}
	f.Add([]byte("what,period,time,team,number\ngoal,1,3:12,H,9\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		r, err := intake.ReadRecord("any", text, holding("harbour-u14"))
		if err != nil {
			return
		}
		if _, err := audit.Check(r.Sheet); err != nil {
			t.Log(err) // what cannot be audited is said, too
		}
	})
}
