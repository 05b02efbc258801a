package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
)

// What a person decided against is kept under another name, and is asked about
// once only: not after a restart, and not where the list of decisions is lost.
func TestADeclinedCopyIsSetAside(t *testing.T) {
	data, stick := t.TempDir(), t.TempDir()
	p := played(t, data, stick)
	ledger := p.ledger()
	p.kill()
	entries, err := entry.ReadLedger(ledger)
	if err != nil {
		t.Fatal(err)
	}
	invented := draft(90, entry.Goal{Side: entry.Home, Scorer: "11"})
	invented.Seq, invented.At = len(entries)+1, entries[len(entries)-1].At
	more := []entry.Entry{invented}
	if err := bench.Chain(entries, more); err != nil {
		t.Fatal(err)
	}
	line, err := more[0].MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(stick, gameID+".jsonl")
	forged := append(bytes.Clone(ledger), append(line, '\n')...)
	if err := os.WriteFile(file, forged, 0o600); err != nil {
		t.Fatal(err)
	}
	arguments := []string{"bench", "--data", data, "--listen", "127.0.0.1:0", "--copy", stick}
	p = start(t, os.Args[0], arguments...)
	type waits struct {
		ID    string `json:"id"`
		Count int    `json:"count"`
	}
	waiting := func() []waits {
		t.Helper()
		p.get("/api/games/" + gameID) // it is answered once it was held against its copies
		var list struct {
			Proposals []waits `json:"proposals"`
		}
		if err := json.Unmarshal(p.get("/api/proposals"), &list); err != nil {
			t.Fatal(err)
		}
		return list.Proposals
	}
	list := waiting()
	if len(list) != 1 || list[0].Count != 1 {
		t.Fatalf("what waits is %+v", list)
	}
	var done bench.Restored
	if err := json.Unmarshal(p.post("/api/proposals/"+list[0].ID, map[string]any{"take": false}), &done); err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(done.Aside, gameID+".jsonl.set-aside-") {
		t.Fatalf("it is kept as %q", done.Aside)
	}
	if kept, err := os.ReadFile(filepath.Join(stick, done.Aside)); err != nil || !bytes.Equal(kept, forged) {
		t.Errorf("what was set aside is\n%s\n%v", kept, err)
	}
	p.copied(stick, "up_to_date")
	if fresh, err := os.ReadFile(file); err != nil || !bytes.Equal(fresh, ledger) {
		t.Errorf("the new copy is\n%s\n%v", fresh, err)
	}
	p.kill()
	if err := os.Remove(filepath.Join(data, "declined.json")); err != nil {
		t.Fatal(err)
	}
	p = start(t, os.Args[0], arguments...)
	if list := waiting(); len(list) != 0 {
		t.Errorf("it is asked about again: %+v", list)
	}
	if got := p.ledger(); !bytes.Equal(got, ledger) {
		t.Errorf("the ledger was\n%s\nand is\n%s", ledger, got)
	}
}
