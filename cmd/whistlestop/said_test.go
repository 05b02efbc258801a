package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"whistlestop/crew/duties"
	"whistlestop/internal/proof/golden"
	"whistlestop/practice/progress"
)

// saying runs commands one after another and keeps all that they said.
type saying struct {
	t     *testing.T
	text  strings.Builder
	plain *strings.Replacer // folders of this run
}

func (s *saying) run(arguments ...string) string {
	s.t.Helper()
	out, failed := runs(s.t, arguments...)
	end := ""
	if failed {
		end = " (fails)"
	}
	fmt.Fprintf(&s.text, "$ %s%s\n%s\n", s.plain.Replace(strings.Join(arguments, " ")), end, s.plain.Replace(out))
	return out
}

// stamps are times of this run; ends of lines of a calendar are lost in a repository.
var stamps = regexp.MustCompile(`(DTSTAMP:)\d{8}T\d{6}Z|\r`)

func (s *saying) hold(name string) {
	s.t.Helper()
	golden.File(s.t, name, []byte(stamps.ReplaceAllString(s.text.String(), "$1")))
}

// All that the crew's commands say, to the letter.
func TestWhatTheCrewIsTold(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	key, err := duties.Log{Key: []byte("a key of tests..")}.Keep()
	if err != nil {
		t.Fatal(err)
	}
	write := func(name string, text []byte) string {
		t.Helper()
		if err := os.WriteFile(at(name), text, 0o600); err != nil {
			t.Fatal(err)
		}
		return at(name)
	}
	list, err := os.ReadFile("../../testdata/league/harbour-people.csv")
	if err != nil {
		t.Fatal(err)
	}
	write("duties.json", key)
	write("people.csv", append(list, "Nobody Known,,,maybe,x\n"...))
	s := &saying{t: t, plain: strings.NewReplacer(dir, "DIR")}
	s.run("season", "schedule", leagueOfTests, "--out", at("schedule.json"))
	crew := func(what string, more ...string) string {
		t.Helper()
		all := []string{"crew", what, leagueOfTests, at("schedule.json"), "../../testdata/league/harbour-crew.toml", at("people.csv")}
		return s.run(append(append(all, more...), "--from", "2026-10-01", "--to", "2026-11-30", "--log", at("duties.json"))...)
	}
	crew("missing")
	crew("make", "--moves", "20000", "--out", at("rota.json"))
	for _, name := range []string{"", "Odin Moe", "Nora Strand", "Maren Holt", "Tuva Berg", "Me"} {
		for _, seat := range []string{"clock", "box"} {
			crew("why", at("rota.json"), "u14-002", seat, "--name", name)
		}
	}
	crew("next", at("rota.json"), "u14-002", "clock")
	crew("next", at("rota.json"), "u12-002", "box", "--ask", "--at", "2026-09-19 12:00")
	asked := crew("messages", at("rota.json"), "--at", "2026-09-20 22:00")
	crew("messages", at("rota.json"), "--at", "2026-09-20 12:00", "--sent")
	codes := sentCode.FindAllStringSubmatch(asked, -1)
	crew("answers", at("rota.json"), write("pasted.txt", []byte(codes[0][2]+" "+codes[3][2]+" "+codes[4][2])), "--at", "2026-09-21 12:00")
	crew("answers", at("rota.json"), at("pasted.txt"), "--at", "2026-11-21 12:00")
	crew("answers", at("rota.json"), write("other.txt", []byte("I come.")), "--at", "2026-09-21 12:00")
	crew("make", "--moves", "20000", "--keep", at("rota.json"), "--out", at("again.json"))
	away := strings.Replace(string(list), "Berg,millrace-u14,guide,,,ready,,,", "Berg,millrace-u14,guide,,,ready,,2026-10-01/2026-11-10,", 1)
	write("people.csv", []byte(away))
	crew("make", "--moves", "20000", "--keep", at("rota.json"), "--out", at("again.json"))
	crew("messages", at("again.json"), "--at", "2026-10-20 12:00")
	crew("export", at("rota.json"))
	crew("export", at("rota.json"), "--name", "Maren Holt")
	for _, flags := range [][]string{nil, {"--missed"}, {"--take-back"}} {
		crew("came", append([]string{at("rota.json"), "u14-002", "clock", "--at", "2026-12-01 12:00"}, flags...)...)
	}
	crew("fill", at("rota.json"), "u12-002", "box", "--at", "2026-09-21 12:00")
	crew("fill", at("rota.json"), "u14-003", "box", "--at", "2026-10-31 12:00")
	crew("fill", at("rota.json"), "u14-003", "box", "--at", "2026-10-31 12:05")
	crew("swap", at("rota.json"), "u14-004", "clock", "--at", "2026-09-21 12:00")
	crew("swap", at("rota.json"), "u14-004", "clock", "u12-004", "clock", "--at", "2026-09-21 12:00")
	crew("swap", at("rota.json"), "u14-004", "clock", "u14-004", "clock", "--at", "2026-09-21 12:00")
	crew("swap", at("rota.json"), "u14-004", "clock", "u14-004", "book", "--at", "2026-09-21 12:00")
	crew("came", at("rota.json"), "u12-999", "clock", "--at", "2026-12-01 12:00")
	crew("balance", at("rota.json"), "--at", "2026-10-22 12:00")
	var practised []string
	for _, day := range []progress.Day{2460, 2461} {
		code, err := progress.EncodeResult(progress.Result{Name: "Odin Moe", Seat: "clock", Script: "a", Level: 3, Day: day, Score: 95})
		if err != nil {
			t.Fatal(err)
		}
		practised = append(practised, code)
	}
	write("codes.txt", []byte("Hello\n"+strings.Join(practised, "\n")+"\nand ABCDE-ABCDE-ABCDE-ABCDE-ABCDE"))
	s.run("crew", "ready", "../../testdata/league/harbour-crew.toml", at("people.csv"), "--codes", at("codes.txt"), "--log", at("duties.json"), "--at", "2026-12-02", "--out", at("ready.csv"))
	s.run("crew", "ready", "../../testdata/league/harbour-crew.toml", at("ready.csv"), "--codes", at("codes.txt"), "--at", "2027-06-02")
	crew("calendar", at("rota.json"), "--name", "Maren Holt", "--at", "2026-09-22 12:00")
	crew("messages", at("rota.json"), "--at", "noon")
	crew("forget", at("rota.json"), "--name", "Maren Holt")
	crew("forget", at("rota.json"), "--name", "Maren Holt")
	s.hold("crew.txt")
}

// All that the season's commands say, to the letter.
func TestWhatTheSeasonSays(t *testing.T) {
	folder, flags := aSeason(t)
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	s := &saying{t: t, plain: strings.NewReplacer(dir, "DIR", folder, "GAMES", filepath.Dir(flags[3]), "PLAN")}
	season := func(arguments ...string) string {
		t.Helper()
		return s.run(append(append([]string{"season"}, arguments...), flags...)...)
	}
	ledger, err := os.ReadFile(wholeLedger)
	if err != nil {
		t.Fatal(err)
	}
	begun := strings.Join(strings.SplitAfter(string(ledger), "\n")[:20], "")
	if err := os.WriteFile(filepath.Join(folder, "begun.jsonl"), []byte(begun), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(at("none"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, what := range []string{"standings", "figures", "suspensions"} {
		s.run("season", what, folder)
		season(what, folder)
	}
	season("standings", folder, "--division", "open", "--chances", "--pick", next(t, flags)+"=3-2:ot")
	season("suspensions", folder, "--game", "open-001")
	season("suspensions", folder, "--game", next(t, flags))
	season("figures", folder, "--of", "Player 3")
	season("changes", at("none"), folder, "--of", "lanternside")
	season("changes", folder, folder)
	must(t, "season", "schedule", leagueOfTests, "--out", at("schedule.json"))
	s.run("season", "check", leagueOfTests, at("schedule.json"))
	move := []string{"season", "change", leagueOfTests, at("schedule.json"), "u14-001", "--rink", "saltworks", "--day", "2026-12-26", "--start", "10:00", "--why", "heating"}
	s.run(move...)
	s.run(append(move, "--anyway")...)
	s.run("season", "check", leagueOfTests, at("schedule.json"))
	s.run("season", "change", leagueOfTests, at("schedule.json"), "u14-001", "--state", "postponed", "--why", "no ice")
	csv := s.run("season", "export", leagueOfTests, at("schedule.json"))
	s.run("season", "export", leagueOfTests, at("schedule.json"), "--as", "ics", "--rink", "saltworks")
	if err := os.WriteFile(at("theirs.csv"), []byte(strings.Replace(csv, "2026-10-", "2026-33-", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	s.run("season", "schedule", leagueOfTests, "--from", at("theirs.csv"), "--out", at("theirs.json"))
	s.run("season", "rounds", "Kelp Bay", "Lanternside", "Millrace")
	s.hold("season.txt")
	var made struct{ Games []json.RawMessage }
	if text, err := os.ReadFile(at("theirs.json")); err != nil || json.Unmarshal(text, &made) != nil || len(made.Games) == 0 {
		t.Errorf("%v", err)
	}
}
