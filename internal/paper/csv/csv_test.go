package csv_test

import (
	"bytes"
	"encoding/csv"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
	paper "whistlestop/internal/paper/csv"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/rows"
)

func written(t testing.TB, ledger []entry.Entry) (list []rows.Fact, text string) {
	t.Helper()
	list = rows.Of(papertest.Report(t, ledger, ""))
	var out bytes.Buffer
	if err := paper.Write(&out, list); err != nil {
		t.Fatal(err)
	}
	return list, out.String()
}

func TestRoundTrip(t *testing.T) {
	for name, ledger := range map[string][]entry.Entry{"game": papertest.Game(t), "unkind": papertest.Unkind(t)} {
		list, text := written(t, ledger)
		back, err := paper.Read(strings.NewReader(text))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if !reflect.DeepEqual(list, back) {
			t.Errorf("%s: other facts came back", name)
		}
	}
}

// TestNothingIsAFormula looks at every cell as a spreadsheet would.
func TestNothingIsAFormula(t *testing.T) {
	_, text := written(t, papertest.Unkind(t))
	lines, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, row := range lines {
		for _, cell := range row {
			if cell != "" && strings.ContainsAny(cell[:1], "=+-@\t\r") {
				t.Errorf("%q would be carried out", cell)
			}
			found = found || cell == `'=HYPERLINK("http://example.invalid","win")`
		}
	}
	if !found {
		t.Error("the formula is not there as text")
	}
}

// TestForm holds the form of RFC 4180: every line ends in CR LF, every row has as
// many fields as the first.
func TestForm(t *testing.T) {
	_, text := written(t, papertest.Game(t))
	if !strings.HasPrefix(text, "\ufeffrecord,key,") || strings.Count(text, "\n") != strings.Count(text, "\r\n") {
		t.Errorf("%.80q", text)
	}
	for _, want := range []string{
		"\r\nhead,venue,Saltworks Arena,,", "\r\ngoal,,,1,8:02,3:58,home,9,,,,,,17,12,power_play,,", "\r\nplayer,,,,,,home,7,Imre Casterby,,,,C,,,,,,,,,,,,1:30,",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not in\n%s", want, text)
		}
	}
}

func FuzzRead(f *testing.F) {
	_, text := written(f, papertest.Game(f))
	f.Add(text)
	f.Add("record\r\nhead")
	f.Add("\ufeff\"")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := paper.Read(strings.NewReader(text))
		if err != nil {
			return
		}
		var out bytes.Buffer
		if err := paper.Write(&out, list); err != nil {
			t.Fatal(err)
		}
		if _, err := paper.Read(&out); err != nil {
			t.Errorf("what was read cannot be written and read: %v", err)
		}
	})
}
