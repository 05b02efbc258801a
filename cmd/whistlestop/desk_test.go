package main

import (
	"encoding/json"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"
)

// What the desk said was kept is there after kill -9: people, rules, rota, answers.
func TestDeskIsKilledAndStartedAgain(t *testing.T) {
	t.Parallel() // it waits most of its time
	folder := t.TempDir()
	must(t, "season", "schedule", leagueOfTests, "--out", folder+"/schedule.json")
	must(t, "season", "keep", leagueOfTests, folder+"/schedule.json", "--data", folder)
	arguments := []string{"desk", "--data", folder, "--listen", "127.0.0.1:0"}
	p := start(t, os.Args[0], arguments...)
	ask := func(method, path string, body any) string {
		t.Helper()
		raw, err := json.Marshal(body)
		if err != nil {
			t.Fatal(err)
		}
		r, err := http.NewRequestWithContext(t.Context(), method, p.root+path, strings.NewReader(string(raw)))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(answer.Body)
		if failed := answer.Body.Close(); err != nil || failed != nil || answer.StatusCode != http.StatusOK {
			t.Fatalf("%s %s: %d %s %v %v", method, path, answer.StatusCode, text, err, failed)
		}
		return string(text)
	}
	file := func(name string) string {
		text, err := os.ReadFile("../../testdata/league/" + name)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	ask("PUT", "/api/crew/rules/file", map[string]string{"text": file("harbour-crew.toml")})
	ask("PUT", "/api/crew/people", map[string]string{"text": file("harbour-people.csv")})
	ask("POST", "/api/crew/rota", map[string]any{"moves": 100})
	kept := []string{"/api/crew/people", "/api/crew/rules", "/api/crew/rota", "/api/crew/messages", "/api/crew/files/duties.json"}
	var before []string
	for _, path := range kept {
		before = append(before, ask("GET", path, nil))
	}
	p.kill()
	p = start(t, os.Args[0], arguments...)
	for i, path := range kept {
		if after := ask("GET", path, nil); after != before[i] {
			t.Errorf("%s was\n%.300s\nand is\n%.300s", path, before[i], after)
		}
	}
}

// Without the desk's command the bench keeps no crew, and says how to start one.
func TestBenchWithoutADesk(t *testing.T) {
	p := start(t, os.Args[0], "bench", "--data", t.TempDir(), "--listen", "127.0.0.1:0")
	answer, err := http.Get(p.root + "/api/crew/people")
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	if failed := answer.Body.Close(); err != nil || failed != nil || answer.StatusCode != http.StatusNotFound || !strings.Contains(string(text), "whistlestop desk") {
		t.Errorf("%d %s %v %v", answer.StatusCode, text, err, failed)
	}
}
