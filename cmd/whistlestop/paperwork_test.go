package main

import (
	"bytes"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper"
	"whistlestop/internal/proof/papertest"
	"whistlestop/record/report"
	"whistlestop/record/seal"
)

// exportOf writes a ledger as the bench exports it.
func exportOf(t *testing.T, ledger []entry.Entry) string {
	t.Helper()
	g := &tape{t: t, entries: ledger}
	return g.file()
}

func TestReportInEveryFormat(t *testing.T) {
	ledger := papertest.Game(t)
	game, folder := exportOf(t, ledger), t.TempDir()
	arguments := []string{"report", game, "--picture", "--paper", "letter", "--times", "remaining"}
	begins := map[string]string{
		"r.pdf": "%PDF-1.", "r.xlsx": "PK\x03\x04", "r.csv": "\ufeffrecord,", "r.json": "{\n  \"$schema\": \"urn:", "r.HTML": "<!doctype html>", "r.svg": "<svg ",
	}
	for name := range begins {
		arguments = append(arguments, "--out", filepath.Join(folder, name))
	}
	printed, failed := command(t, arguments...)
	if failed != "" {
		t.Fatal(failed)
	}
	for name, want := range begins {
		raw, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil || !strings.HasPrefix(string(raw), want) {
			t.Errorf("%s begins with %.20q (%v)", name, raw, err)
		}
		if !strings.Contains(printed, name) {
			t.Errorf("nothing is said of %s: %s", name, printed)
		}
	}
	raw, err := os.ReadFile(filepath.Join(folder, "r.json"))
	if err != nil {
		t.Fatal(err)
	}
	var back report.Document
	decoder := json.NewDecoder(bytes.NewReader(raw))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&back); err != nil {
		t.Fatal(err)
	}
	if want := papertest.Report(t, ledger, "remaining"); !reflect.DeepEqual(back, want) {
		t.Error("another report came back from JSON")
	}
}

// TestSameReportsOnEveryRun is F6 of the test plan for paper: the same ledger gives
// the same bytes.
func TestSameReportsOnEveryRun(t *testing.T) {
	ledger := papertest.Game(t)
	for _, format := range paper.Formats {
		var first, again bytes.Buffer
		o := paper.Options{Paper: "a4", Picture: true, Words: locale.English()}
		for _, out := range []io.Writer{&first, &again} {
			if err := writeReport(out, ledger, format.Name, o); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(first.Bytes(), again.Bytes()) {
			t.Errorf("%s: the bytes differ from run to run", format.Name)
		}
	}
}

func TestReportsThatDoNotGo(t *testing.T) {
	game, folder := exportOf(t, papertest.Game(t)), t.TempDir()
	for _, one := range []struct {
		arguments []string
		want      string
	}{
		{[]string{game, "--out", filepath.Join(folder, "r.docx")}, ".pdf, .xlsx"},
		{[]string{game, "--out", filepath.Join(folder, "none", "r.pdf")}, "cannot be written"},
		{[]string{filepath.Join(folder, "none.jsonl"), "--out", filepath.Join(folder, "r.pdf")}, "cannot be read"},
		{[]string{game}, "--out"},
	} {
		if _, failed := command(t, append([]string{"report"}, one.arguments...)...); !strings.Contains(failed, one.want) {
			t.Errorf("%v: %q", one.arguments, failed)
		}
	}
	// All or nothing: a format that is not there keeps the others from being written.
	good := filepath.Join(folder, "r.csv")
	command(t, "report", game, "--out", good, "--out", filepath.Join(folder, "r.docx"))
	if _, err := os.Stat(good); err == nil {
		t.Error("half of it was written")
	}
}

func TestVerify(t *testing.T) {
	ledger := papertest.Game(t)
	fingerprint := seal.Fingerprint(ledger[len(ledger)-1])
	good := exportOf(t, ledger)
	short := exportOf(t, ledger[:40])
	changed := append([]entry.Entry{}, ledger...)
	changed[30].By = "somebody"
	touched := exportOf(t, changed)
	for _, one := range []struct {
		name      string
		arguments []string
		says      []string
		fails     string
	}{
		{"good", []string{good}, []string{"All 100 entries", "Version 1", fingerprint}, ""},
		{"with the paper", []string{good, "--fingerprint", strings.ToLower(fingerprint)}, []string{"the newest"}, ""},
		{"with the other copy", []string{good, "--against", good}, []string{"All 100"}, ""},
		{"another paper", []string{good, "--fingerprint", "0000 0000 0000 0000"}, []string{"No seal here"}, "not as it was written"},
		{"no fingerprint", []string{good, "--fingerprint", "hello"}, nil, "16 letters and digits"},
		{"cut off, and nobody knows", []string{short}, []string{"All 40 entries", "not sealed"}, ""},
		{"cut off, with the paper", []string{short, "--fingerprint", fingerprint}, []string{"its end is missing"}, "not as it was written"},
		{"cut off, with the other copy", []string{short, "--against", good}, []string{"ends after 40"}, "not as it was written"},
		{"changed", []string{touched}, []string{"Entry 31 on line 31"}, "not as it was written"},
		{"changed, with the other copy", []string{touched, "--against", good}, []string{"Entry 31"}, "not as it was written"},
		{"not there", []string{good + "x"}, nil, "cannot be read"},
		{"the other not there", []string{good, "--against", good + "x"}, nil, "cannot be read"},
	} {
		printed, failed := command(t, append([]string{"verify"}, one.arguments...)...)
		for _, want := range one.says {
			if !strings.Contains(printed, want) {
				t.Errorf("%s: no %q in %s%s", one.name, want, printed, failed)
			}
		}
		if one.fails == "" && failed != "" || !strings.Contains(failed, one.fails) {
			t.Errorf("%s: failed with %q", one.name, failed)
		}
	}
	printed, failed := command(t, "verify", touched, "--json")
	var verdict seal.Verdict
	if err := json.Unmarshal([]byte(printed), &verdict); err != nil || failed == "" || verdict.First == nil || verdict.First.Seq != 31 {
		t.Errorf("%v %s", err, printed)
	}
	var form struct{ Version int }
	if err := json.Unmarshal([]byte(printed), &form); err != nil || form.Version != seal.VerdictVersion {
		t.Errorf("the verdict does not say which form it has: %v %s", err, printed)
	}
}

func TestRosterCheck(t *testing.T) {
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	good := file("good.csv", "Number,Name,Pos\n1,Juno Halvard,G\n7,Maren Holt,D\n")
	bad := file("bad.csv", "Number,Name,Pos\n1,Juno Halvard,G\n1,Maren Holt,QB\n")
	for _, one := range []struct {
		arguments []string
		says      []string
		fails     string
	}{
		{[]string{good}, []string{"Read 2 players"}, ""},
		{[]string{good, "--division", "harbour-u14"}, []string{"Read 2 players"}, ""},
		{[]string{bad}, []string{"Row 3, column 1: Number 1 is there twice: 1 Juno Halvard and 1 Maren Holt", "Row 3, column 3: “QB”"}, "cannot be used"},
		{[]string{file("bomb.xlsx", "PK\x03\x04 and nothing more")}, []string{"not a workbook"}, "cannot be used"},
		{[]string{file("old.xls", "\xd0\xcf\x11\xe0")}, []string{"old format"}, "cannot be used"},
		{[]string{filepath.Join(folder, "none")}, nil, "cannot be read"},
		{[]string{good, "--division", "no-such"}, nil, "no-such"},
	} {
		printed, failed := command(t, append([]string{"roster", "check"}, one.arguments...)...)
		for _, want := range one.says {
			if !strings.Contains(printed, want) {
				t.Errorf("%v: no %q in %s%s", one.arguments, want, printed, failed)
			}
		}
		if one.fails == "" && failed != "" || !strings.Contains(failed, one.fails) {
			t.Errorf("%v: failed with %q", one.arguments, failed)
		}
	}
	printed, _ := command(t, "roster", "check", bad, "--json")
	var read struct {
		Usable   bool
		Findings []struct{ Row, Column int }
	}
	if err := json.Unmarshal([]byte(printed), &read); err != nil || read.Usable || len(read.Findings) < 2 || read.Findings[0].Row != 3 {
		t.Errorf("%v %s", err, printed)
	}
}
