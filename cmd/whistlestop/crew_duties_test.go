package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var sentCode = regexp.MustCompile(`(Yes|No, which is fine too): ([2-9A-Z]{4}-[2-9A-Z]{4})`)

// From the rota to who came, with nothing but files and what people paste.
func TestCrewDuties(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	write := func(name, text string) string {
		t.Helper()
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return at(name)
	}
	must(t, "season", "schedule", leagueOfTests, "--out", at("schedule.json"))
	files := []string{leagueOfTests, at("schedule.json"), "../../testdata/league/harbour-crew.toml", "../../testdata/league/harbour-people.csv"}
	crew := func(what string, more ...string) string {
		t.Helper()
		all := append([]string{"crew", what}, files...)
		if what != "make" {
			all = append(all, at("rota.json"))
		}
		return must(t, append(append(all, more...), "--from", "2026-10-01", "--to", "2026-11-30", "--log", at("duties.json"))...)
	}
	crew("make", "--moves", "20000", "--out", at("rota.json"))
	asked := crew("messages", "--at", "2026-09-20 12:00")
	for _, want := range []string{"To Maren Holt:", "do you come? ", "Without somebody at the clock the game waits.", "mailto:?subject=The%20bench", "%0D%0A", "With you: "} {
		if !strings.Contains(asked, want) {
			t.Errorf("no %q in %s", want, asked)
		}
	}
	if again := crew("messages", "--at", "2026-09-20 12:00"); again != asked {
		t.Error("looking changes what is asked")
	}
	crew("messages", "--at", "2026-09-20 12:00", "--sent")
	if out := crew("messages", "--at", "2026-09-20 12:05"); !strings.Contains(out, "Nobody is to hear anything now") {
		t.Errorf("asked twice: %s", out)
	}
	codes := sentCode.FindAllStringSubmatch(asked, -1)
	yes, no := codes[0][2], codes[3][2]
	if codes[0][1] != "Yes" || codes[3][1] == "Yes" {
		t.Fatal(codes[:4])
	}
	out := crew("answers", write("pasted.txt", "Hello,\n"+strings.ToLower(yes)+" and "+no+"\n> you are asked\n"), "--at", "2026-09-21 12:00")
	if !strings.Contains(out, "says yes") || !strings.Contains(out, "says no") {
		t.Error(out)
	}
	rota := crew("export")
	if strings.Count(rota, ",yes") != 1 {
		t.Errorf("%s", rota)
	}
	if out := crew("answers", write("other.txt", "I come."), "--at", "2026-09-21 12:00"); !strings.Contains(out, "no code in this text") {
		t.Error(out)
	}
	// Who said no is not asked again, and the yes stays where it is.
	crew("make", "--moves", "20000", "--keep", at("rota.json"), "--out", at("rota.json"))
	if again := crew("export"); strings.Count(again, ",yes") != 1 {
		t.Errorf("%s", again)
	}
	balance := crew("balance", "--at", "2026-09-22 12:00")
	if !strings.Contains(balance, "Family,Share,Came,Did not come,\"Over, not said\",Promised,No answer yet\n") || !strings.Contains(balance, ",1,") {
		t.Error(balance)
	}
	game, seat := "u14-002", "clock"
	for _, step := range []struct{ flag, says string }{{"", " came to the clock"}, {"--missed", "did not come to the clock"}, {"--take-back", "is open again"}} {
		more := []string{game, seat, "--at", "2026-12-01 12:00"}
		if step.flag != "" {
			more = append(more, step.flag)
		}
		if out := crew("came", more...); !strings.Contains(out, step.says) {
			t.Errorf("%s: %s", step.flag, out)
		}
	}
	if out := crew("next", game, seat, "--ask", "--at", "2026-09-22 12:00"); strings.Contains(out, "1. ") != strings.Contains(out, "do you come?") {
		t.Error(out)
	}
	feed := crew("calendar", "--name", "Maren Holt", "--at", "2026-09-22 12:00")
	if !strings.Contains(feed, "BEGIN:VEVENT") || !strings.Contains(feed, "TZID") || strings.Contains(feed, "Tuva") {
		t.Error(feed)
	}
	crew("forget", "--name", "Maren Holt")
	for _, name := range []string{"rota.json", "duties.json"} {
		if text, err := os.ReadFile(at(name)); err != nil || strings.Contains(string(text), "Maren Holt") {
			t.Errorf("%s: %v, or the name is there still", name, err)
		}
	}
}
