package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/rulebook"
	"whistlestop/internal/demo"
	"whistlestop/internal/locale"
	"whistlestop/internal/locale/pseudo"
	"whistlestop/internal/paper/xlsx"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
)

// quay runs a command in the made-up language and returns what it printed and why it
// failed.
func quay(t *testing.T, arguments ...string) string {
	t.Helper()
	var out, log bytes.Buffer
	p := &Program{Out: &out, Log: &log, Spoken: pseudo.Spoken(), Getenv: func(string) string { return "" }}
	err := p.Run(t.Context(), append(arguments, languageFlag, pseudo.Tag))
	p.end(&out, err)
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String() + log.String()
}

// stays are words that no language changes: names of people, teams, rinks and books,
// which stand in files, and what is typed or is a program's own.
const stays = `
Whistlestop whistlestop Harbour League Kelp Bay Lanternside Millrace Northmole Saltworks Arena
pdf xlsx csv json html svg
open stat no such file or directory
` // the last line is what the computer's system says of a file

// TestCommandsSpeakTheLanguage: whatever a command says to people, it says in the
// language that was asked for.
func TestCommandsSpeakTheLanguage(t *testing.T) {
	folder := t.TempDir()
	at := func(name string) string { return filepath.Join(folder, name) }
	write := func(name, text string) string {
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return at(name)
	}
	whole, err := os.ReadFile(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	game := write("whole.jsonl", string(whole))
	touched := filepath.Join(t.TempDir(), "touched.jsonl")
	if err := os.WriteFile(touched, []byte(strings.Replace(string(whole), `"number":"17"`, `"number":"71"`, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	schedule := at("schedule.json")
	crew := []string{leagueOfTests, schedule, "../../testdata/league/harbour-crew.toml", "../../testdata/league/harbour-people.csv"}
	known := stays + namesOfLedger(string(whole)) + quoted(fileText(t, crew[0])) + quoted(fileText(t, crew[2])) + fileText(t, crew[3]) + quoted(fileText(t, demoCard))
	editions, books := books()
	ids := ""
	scripts, err := maker.All(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range scripts {
		ids += " " + one.ID
	}
	for _, skill := range plot.Skills {
		ids += " " + strings.ReplaceAll(string(skill), "_", " ")
	}
	for _, test := range []struct {
		name      string
		arguments []string
		files     []string // that it writes
		stays     string   // beside the rest
	}{
		{name: "why", arguments: []string{"why", game, "1", "2:30"}, stays: editions},
		{name: "why at no time", arguments: []string{"why", game, "1", "noon"}, stays: "noon"},
		{name: "check", arguments: []string{"check", game}},
		{name: "check what was touched", arguments: []string{"check", touched}, stays: editions},
		{name: "check nothing", arguments: []string{"check", at("nowhere")}, stays: "nowhere"},
		{name: "totals", arguments: []string{"totals", game}},
		{name: "verify", arguments: []string{"verify", game, "--data", folder}},
		{name: "verify what was touched", arguments: []string{"verify", touched, "--data", folder}, stays: "WHOLE"},
		{name: "report", arguments: []string{"report", game, "--picture", "--names", "--out", at("report.html"), "--out", at("report.svg")},
			files: []string{"report.html", "report.svg"}},
		{name: "report in no form", arguments: []string{"report", game, "--out", at("report.doc")}},
		{name: "roster", arguments: []string{"roster", "check", write("roster.csv", "No,Name\n7,Ada\n7,Bo\nx,Cy\n")}, stays: "Ada Bo Cy No Name"},
		{name: "card", arguments: []string{"card", "check", demoCard}},
		{name: "card that is none", arguments: []string{"card", "check", game}},
		{name: "codes", arguments: []string{"codes"}, stays: books},
		{name: "code", arguments: []string{"codes", "usah-youth"}, stays: books},
		{name: "no code", arguments: []string{"codes", "nope"}, stays: books},
		{name: "divisions", arguments: []string{"divisions"}, stays: books},
		{name: "a bad division", arguments: []string{"divisions", write("bad.toml", "id = \"x\"\nnonsense = 3\n")}, stays: "nonsense id"},
		{name: "schedule", arguments: []string{"season", "schedule", leagueOfTests, "--out", schedule}},
		{name: "schedule check", arguments: []string{"season", "check", leagueOfTests, schedule}},
		{name: "schedule export", arguments: []string{"season", "export", leagueOfTests, schedule}},
		{name: "standings", arguments: []string{"season", "standings", folder}},
		{name: "figures", arguments: []string{"season", "figures", folder}},
		{name: "suspended", arguments: []string{"season", "suspended", folder}},
		{name: "rounds", arguments: []string{"season", "rounds", "Kelp Bay", "Millrace"}},
		{name: "one team", arguments: []string{"season", "rounds", "Kelp Bay"}},
		{name: "crew missing", arguments: append([]string{"crew", "missing"}, crew...)},
		{name: "crew make", arguments: append([]string{"crew", "make", "--moves", "2000", "--out", at("rota.json")}, crew...)},
		{name: "crew export", arguments: slices.Concat([]string{"crew", "export"}, crew, []string{at("rota.json")})},
		{name: "crew next", arguments: slices.Concat([]string{"crew", "next"}, crew, []string{at("rota.json"), "u14-002", "clock"})},
		{name: "crew of no people", arguments: []string{"crew", "missing", crew[0], crew[1], crew[2], write("nobody.csv", "")}},
		{name: "practice plot", arguments: []string{"practice", "script", write("bad.practice", "practice 1\nlevel 9\n")}, stays: "bad level practice"},
		{name: "no practice", arguments: []string{"practice", "script", "nope"}, stays: "nope"},
		{name: "practice answer", arguments: []string{"practice", "answer", "standard", "--words"}},
		{name: "practice grade", arguments: []string{"practice", "grade", "standard", game}, stays: ids + editions + " script"},
		{name: "practices", arguments: []string{"practice", "list"}, stays: ids},
		{name: "keys", arguments: []string{"keys", "list", "--data", folder}},
		{name: "a moment that is none", arguments: []string{"demo", "--moment", "noon"}, stays: strings.Join(demo.Moments(), " ")},
		{name: "backup of nothing", arguments: []string{"backup", at("b"), "--data", at("nothing")}, stays: "nothing"},
		{name: "restore of nothing", arguments: []string{"restore", at("empty"), "--data", at("nothing")}, stays: "nothing empty"},
	} {
		t.Run(test.name, func(t *testing.T) {
			said := quay(t, test.arguments...)
			for _, file := range test.files {
				said += shownText(fileText(t, at(file)))
			}
			said = strings.ReplaceAll(said, folder, "")
			if strings.TrimSpace(said) == "" {
				t.Fatal("it says nothing")
			}
			if left := pseudo.Left(said, known, test.stays, strings.Join(test.arguments, " ")); len(left) > 0 {
				t.Errorf("English is left: %q in\n%s", left, said)
			}
		})
	}
	t.Run("a workbook is read in the language that it was written in", func(t *testing.T) {
		quay(t, "report", game, "--out", at("report.xlsx"))
		tables, err := xlsx.Tables([]byte(fileText(t, at("report.xlsx"))))
		if err != nil || len(tables) == 0 {
			t.Fatal(err)
		}
		for _, table := range tables {
			if left := pseudo.Left(table.Name + " " + strings.Join(table.Rows[0], " ")); len(left) > 0 {
				t.Errorf("English is left: %q", left)
			}
		}
		var out, log bytes.Buffer
		p := &Program{Out: &out, Log: &log, Spoken: pseudo.Spoken(), Getenv: func(string) string { return "" }}
		_ = p.Run(t.Context(), []string{"check", at("report.xlsx"), "--json"})
		var found checked
		if err := json.Unmarshal(out.Bytes(), &found); err != nil || found.Division == "" {
			t.Errorf("an English program reads %s", out.String())
		}
	})
}

func fileText(t *testing.T, file string) string {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// namesOfLedger are the texts of a ledger: names that people gave.
func namesOfLedger(ledger string) string {
	var names strings.Builder
	for _, found := range regexp.MustCompile(`"(name|venue|league|code|note|text|title|edition)":"([^"]*)"`).FindAllStringSubmatch(ledger, -1) {
		names.WriteString(" " + found[2])
	}
	return names.String()
}

// books are the names of books and divisions, and where each rule was read: they
// stand in the files of the codes, to be found there again.
func books() (editions, all string) {
	var texts, books strings.Builder
	for _, code := range rulebook.Codes() {
		fmt.Fprintln(&books, code.ID, code.Name, code.Body, code.Edition)
		for _, setting := range rulebook.Settings(code.ID) {
			fmt.Fprintln(&texts, setting.Rule, setting.Source)
		}
		for _, cited := range code.Rules {
			fmt.Fprintln(&texts, cited.Rule, cited.Source)
		}
	}
	for _, d := range rulebook.Divisions() {
		fmt.Fprintln(&texts, d.ID, d.Name, d.League)
	}
	return books.String(), books.String() + texts.String()
}

// quoted are the texts of a data file: its comments are no names.
func quoted(file string) string {
	return strings.Join(regexp.MustCompile(`"[^"\n]*"`).FindAllString(file, -1), " ")
}

// markup is what a page has beside what people read.
var markup = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>|&[a-z]+;`)

// shownText is what people read of a page or a drawing.
func shownText(page string) string { return markup.ReplaceAllString(page, " ") }

func TestWhichLanguageIsSpoken(t *testing.T) {
	for _, test := range []struct {
		name      string
		arguments []string
		env       map[string]string
		want      string // the language
		told      bool
	}{
		{"nothing is said", nil, nil, "en", false},
		{"the computer's", nil, map[string]string{"LANG": "art_x_quay.UTF-8"}, pseudo.Tag, false},
		{"the computer's, which is not there", nil, map[string]string{"LC_ALL": "fi_FI.UTF-8", "LANG": pseudo.Tag}, "en", false},
		{"LC_ALL stands above LANG", nil, map[string]string{"LC_ALL": pseudo.Tag, "LANG": "en"}, pseudo.Tag, false},
		{"LC_MESSAGES stands above LANG", nil, map[string]string{"LC_MESSAGES": pseudo.Tag, "LANG": "en"}, pseudo.Tag, false},
		{"our own stands above the computer's", nil, map[string]string{"WHISTLESTOP_LANGUAGE": pseudo.Tag, "LC_ALL": "en"}, pseudo.Tag, false},
		{"our own, which is not there", nil, map[string]string{"WHISTLESTOP_LANGUAGE": "tlh"}, "en", true},
		{"the command stands above all", []string{"--language", "en"}, map[string]string{"WHISTLESTOP_LANGUAGE": pseudo.Tag}, "en", false},
		{"in one word", []string{"--language=" + pseudo.Tag}, nil, pseudo.Tag, false},
		{"a region that is not there", []string{"--language", "en-GB"}, nil, "en", false},
		{"a language that is not there", []string{"--language", "tlh"}, nil, "en", true},
	} {
		t.Run(test.name, func(t *testing.T) {
			var out, log bytes.Buffer
			p := &Program{Out: &out, Log: &log, Spoken: pseudo.Spoken(), Getenv: func(name string) string { return test.env[name] }}
			if err := p.Run(t.Context(), append([]string{"divisions"}, test.arguments...)); err != nil {
				t.Fatal(err)
			}
			if got := p.words.in().Language(); got != test.want {
				t.Errorf("speaks %s, want %s", got, test.want)
			}
			english := strings.Contains(out.String(), locale.English().Text("command.divisions", nil))
			if english != (test.want == "en") {
				t.Errorf("printed\n%s", out.String())
			}
			if told := strings.Contains(log.String(), "There is no language"); told != test.told {
				t.Errorf("told %q", log.String())
			}
		})
	}
}
