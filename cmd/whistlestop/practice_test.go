package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/practice"
	"whistlestop/practice/grade"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

func TestPracticeIsListed(t *testing.T) {
	got, failed := command(t, "practice", "list")
	if failed != "" {
		t.Fatal(failed)
	}
	for _, want := range []string{"standard ", "drill-carry-over ", "drill-follow-board ", "two_on_one "} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	for _, skill := range plot.Skills {
		if words := (words{}).say("drill.skill." + string(skill)); !strings.Contains(got, words) || strings.Contains(words, "drill.") {
			t.Errorf("no words for %s", skill)
		}
	}
}

// TestPracticeIsPrintedAnsweredAndGraded: the answer of a script has 100; without
// its goals it has not, and the drill that helps is named.
func TestPracticeIsPrintedAnsweredAndGraded(t *testing.T) {
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	run := func(arguments ...string) string {
		got, failed := command(t, append([]string{"practice"}, arguments...)...)
		if failed != "" {
			t.Fatal(arguments, failed)
		}
		return got
	}
	made := run("script", "made", "--seed", "5", "--level", "3", "--skills", "score,carry_over")
	path := file("made.practice", made)
	if again := run("script", path); again != made {
		t.Errorf("the script is printed as another:\n%s\n%s", made, again)
	}
	var s script.Script
	if err := json.Unmarshal([]byte(run("script", path, "--json")), &s); err != nil || len(s.Cues) == 0 || s.Text() != made {
		t.Errorf("%v, %d cues", err, len(s.Cues))
	}
	answer := run("answer", path)
	ledger := file("answer.jsonl", answer)
	if got := run("grade", path, ledger); !strings.HasPrefix(got, "100 of 100: ") || strings.Contains(got, "> ") {
		t.Errorf("the answer is graded\n%s", got)
	}
	var without []string
	for _, line := range strings.Split(answer, "\n") {
		if !strings.Contains(line, "whistlestop.goal.v1") {
			without = append(without, line)
		}
	}
	forgot := file("forgot.jsonl", strings.Join(without, "\n"))
	acts := file("acts.json", `[{"do":"horn","wall_ms":1}]`)
	got := run("grade", path, forgot, "--acts", acts)
	for _, want := range []string{" was not entered.", "> Enter every goal before the next drop.", "The horn was not sounded"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	var g grade.Grade
	if err := json.Unmarshal([]byte(run("grade", path, forgot, "--json")), &g); err != nil || g.Score >= 100 || len(g.Findings) == 0 {
		t.Errorf("%v, %d points", err, g.Score)
	}
	record, err := json.Marshal(practice.Record{Script: made, Ledger: strings.Join(without, "\n"), Acts: []grade.Act{{Do: grade.Horn, Wall: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if kept := run("grade", file("record.json", string(record))); kept != got {
		t.Errorf("the record of the same practice is graded\n%s\nwant\n%s", kept, got)
	}
	if replay := run("script", ledger, "--level", "3"); !strings.Contains(replay, "title    Replay of ") {
		t.Errorf("the replay is\n%s", replay)
	}
	if words := run("answer", path, "--words"); !strings.Contains(words, "Goal, ") {
		t.Errorf("the answer in words is\n%s", words)
	}
}

func TestPracticeSaysWhatIsWrong(t *testing.T) {
	bad := filepath.Join(t.TempDir(), "bad.practice")
	if err := os.WriteFile(bad, []byte("practice 1\nlevel 9\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, test := range []struct {
		arguments []string
		want      string
	}{
		{[]string{"script", "moonlight"}, "There is no script moonlight"},
		{[]string{"script", bad}, "bad.practice, line 2"},
		{[]string{"script", "made", "--division", "moon"}, "There is no division moon"},
		{[]string{"script", "made", "--division", "harbour-u10", "--skills", "overtime"}, "plays no overtime"},
		{[]string{"grade", "standard", "nowhere.jsonl"}, "nowhere.jsonl cannot be read"},
		{[]string{"grade", bad}, "is no record of a practice"},
		{[]string{"grade", "nowhere.json"}, "nowhere.json cannot be read"},
	} {
		_, failed := command(t, append([]string{"practice"}, test.arguments...)...)
		if !strings.Contains(failed, test.want) {
			t.Errorf("%v: %q, want %q", test.arguments, failed, test.want)
		}
	}
}
