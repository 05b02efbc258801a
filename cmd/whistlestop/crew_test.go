package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A coordinator's way with nothing but files: what is missing, the rota, why, who
// else, what changes when somebody is away, and the list to hand out.
func TestCrew(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	must(t, "season", "schedule", leagueOfTests, "--out", at("schedule.json"))
	files := []string{leagueOfTests, at("schedule.json"), "../../testdata/league/harbour-crew.toml", "../../testdata/league/harbour-people.csv"}
	crew := func(what string, more ...string) []string {
		return append(append([]string{"crew", what}, files...), more...)
	}
	november := []string{"--from", "2026-10-01", "--to", "2026-11-30"}
	if out := must(t, crew("missing", november...)...); !strings.Contains(out, "1 can take the penalty box at") || !strings.Contains(out, "not ready for the seat") || !strings.Contains(out, "31 seats for 10 people of 7 families") {
		t.Errorf("%s", out)
	}
	make := crew("make", append(november, "--moves", "20000", "--out", at("rota.json"))...)
	if out := must(t, make...); !strings.Contains(out, "rota.json: 31 seats") || !strings.Contains(out, "of a share of") || !strings.Contains(out, "Nobody at the penalty box") {
		t.Errorf("%s", out)
	}
	first, err := os.ReadFile(at("rota.json"))
	if err != nil {
		t.Fatal(err)
	}
	list := must(t, crew("export", append([]string{at("rota.json")}, november...)...)...)
	if strings.Count(list, "\n") != 32 || !strings.Contains(list, "Tuva Berg") {
		t.Errorf("%s", list)
	}
	ask := func(what string, more ...string) string {
		return must(t, append(crew(what, at("rota.json"), "u14-002", "clock"), append(more, november...)...)...)
	}
	if out := ask("why"); !strings.Contains(out, "sits at the clock") {
		t.Errorf("%s", out)
	}
	if out := ask("why", "--name", "Odin Moe"); !strings.Contains(out, "not on that day of the week") {
		t.Errorf("%s", out)
	}
	if out := ask("next"); !strings.Contains(out, "1. ") && !strings.Contains(out, "Nobody else can take the clock") {
		t.Errorf("%s", out)
	}
	// Before a game moves it is said what that does to those on duty; the clash with the days off keeps it where it is.
	change := []string{"season", "change", files[0], files[1], "u14-002", "--rink", "saltworks", "--day", "2026-12-26", "--start", "10:00", "--why", "heating"}
	if out, failed := runs(t, append(change, "--crew", files[2], "--people", files[3], "--rota", at("rota.json"), "--log", at("none.json"))...); !failed || !strings.Contains(out, "clock: ") || !strings.Contains(out, "has to be asked again.") && !strings.Contains(out, "cannot then: ") {
		t.Errorf("%s", out)
	}
	if out, failed := runs(t, append(change, "--rota", at("rota.json"))...); !failed || !strings.Contains(out, "Name all three") {
		t.Errorf("%s", out)
	}
	// Everybody accepted; then somebody is away. Only that person's duties change.
	accepted := strings.ReplaceAll(string(first), `"family": "Berg"`, `"family": "Berg", "accepted": true`)
	if err := os.WriteFile(at("rota.json"), []byte(accepted), 0o600); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(files[3])
	if err != nil {
		t.Fatal(err)
	}
	files[3] = at("people.csv")
	away := strings.Replace(string(text), "Berg,millrace-u14,guide,,,ready,,,", "Berg,millrace-u14,guide,,,ready,,2026-10-01/2026-10-10,", 1)
	if away == string(text) {
		t.Fatal("nobody of that name is in the list")
	}
	if err := os.WriteFile(files[3], []byte(away+"Nobody Known,,,maybe\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	out := must(t, append(crew("make", november...), "--moves", "20000", "--out", at("rota2.json"), "--keep", at("rota.json"))...)
	for _, want := range []string{`Line 12, clock: "maybe" cannot be read`, "Tuva Berg accepted the clock", "but: away. Ask them.", "Duties that people knew and that are others' now: "} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	for _, test := range []struct {
		arguments []string
		want      string
	}{
		{append(crew("why", at("rota.json"), "u14-999", "clock"), november...), "There is no seat clock at a game u14-999"},
		{append(crew("why", at("rota.json"), "u14-002", "clock", "--name", "Me"), november...), "Me is not in the list"},
		{crew("missing", "--from", "2027-08-01"), "No game of the schedule"},
		{crew("missing", "--from", "August"), "write it as 2026-10-03"},
		{crew("export", files[3]), "no rota"},
	} {
		if out, failed := runs(t, test.arguments...); !failed || !strings.Contains(out, test.want) {
			t.Errorf("%v: %s", test.arguments, out)
		}
	}
}
