package main

import (
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
	"whistlestop/internal/hub/ledgers"
)

// A ledger of before, with names inside its lines, goes to a hub whose association takes
// such: none of them is in the ledger that the hub keeps, the command says what that file
// can show and what not, and the hub's proof vouches for the rest.
func TestAnOlderLedgerAtAHub(t *testing.T) {
	folder := t.TempDir()
	p, out := running(t, "hub", "--data", filepath.Join(folder, "hub"), "--listen", "127.0.0.1:0")
	ask := admin(t, out)
	pair, follow := linkOf(t, ask("/admin/bench", "label", "office")), linkOf(t, ask("/admin/team", "label", "Kelp Bay"))
	ledger, err := demo.Ledger("overtime", 1_700_000_000_000)
	if err != nil || !ledger[0].Inside() {
		t.Fatal("the game has no names inside", err)
	}
	write := func(name string, lines [][]byte) string {
		t.Helper()
		var content []byte
		for _, line := range lines {
			content = append(append(content, line...), '\n')
		}
		name = filepath.Join(folder, name)
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	var whole [][]byte
	for _, e := range ledger {
		line, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		whole = append(whole, line)
	}
	real := write("real.jsonl", whole)
	ask("/admin/older", "older", "without")
	for range 2 {
		must(t, "hub", "send", real, "--to", pair)
	}
	at := ledgers.Where{Association: p.hub.id, Game: ledger[0].Game}
	older, err := p.hub.store.OlderLines(t.Context(), at)
	if err != nil || len(older) == 0 {
		t.Fatal("the hub read no line as it was hashed", err)
	}
	kept, err := p.hub.store.Lines(t.Context(), at, 0, 10_000)
	if err != nil || len(kept) != len(ledger) {
		t.Fatal(len(kept), err)
	}
	var lines [][]byte
	for _, line := range kept {
		lines = append(lines, line.Bytes)
	}
	exported := write("exported.jsonl", lines)
	for _, e := range ledger {
		entry.MapTexts(e, func(_ entry.Text, text string) string {
			if raw := strings.Join(strings.Fields(text), " "); len(raw) > 5 && strings.Contains(string(read(t, exported)), raw) {
				t.Errorf("%q is in the file", raw)
			}
			return text
		})
	}
	if said, failed := runs(t, "verify", exported); !failed || !strings.Contains(said, "What this file can show") || !strings.Contains(said, "around the entries 1") {
		t.Error(said)
	}
	answer, err := http.Get(strings.Replace(follow, "/follow/", "/v1/follow/", 1) + "/games/" + ledger[0].Game + "/proof")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(answer.Body)
	if closing := answer.Body.Close(); err != nil || closing != nil || answer.StatusCode != http.StatusOK {
		t.Fatal(answer.Status, string(raw), err, closing)
	}
	proof := write("proof.json", [][]byte{raw})
	said := must(t, "hub", "proof", proof, "--ledger", exported)
	for _, want := range []string{"was not written anew", "copies without the names", "The entries 1"} {
		if !strings.Contains(said, want) {
			t.Errorf("no %q in %s", want, said)
		}
	}
	if said := must(t, "hub", "proof", proof, "--ledger", real); strings.Contains(said, "The entries") {
		t.Error(said)
	}
	// A copy that says something else, or a proof that does.
	lines[0] = []byte(strings.Replace(string(lines[0]), `"number":"`, `"number":"9`, 1))
	if _, failed := command(t, "hub", "proof", proof, "--ledger", write("other.jsonl", lines)); !strings.Contains(failed, "is not the copy without names that the hub signed") {
		t.Error(failed)
	}
	changed := write("changed.json", [][]byte{[]byte(strings.Replace(string(raw), `"stands":"`, `"stands":"0`, 1))})
	if _, failed := command(t, "hub", "proof", changed); !strings.Contains(failed, "proves nothing") {
		t.Error(failed)
	}
	// The nightly look finds it as well.
	head, err := p.hub.store.Head(t.Context(), at)
	if err != nil {
		t.Fatal(err)
	}
	if holds, _, err := p.whole(t.Context(), at, head); !holds || err != nil {
		t.Error("the chain does not hold", err)
	}
}

func read(t *testing.T, file string) []byte {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
