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
)

// A follower keeps a proof. The ledger that the hub had holds against it; one that was
// written anew from the middle on does not, although its own chain is whole, and neither
// does a proof in which something was changed.
func TestAProofAgainstALedgerWrittenAnew(t *testing.T) {
	folder := t.TempDir()
	p, out := running(t, "hub", "--data", filepath.Join(folder, "hub"), "--listen", "127.0.0.1:0")
	ask := admin(t, out)
	pair, follow := linkOf(t, ask("/admin/bench", "label", "office")), linkOf(t, ask("/admin/team", "label", "Kelp Bay"))
	ledger, err := demo.Ledger("overtime", 1_700_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	write := func(name string, ledger []entry.Entry) string {
		t.Helper()
		var content []byte
		lines := entry.Lines{}
		for _, e := range ledger {
			if content, err = lines.Append(content, e); err != nil {
				t.Fatal(err)
			}
		}
		name = filepath.Join(folder, name)
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
		return name
	}
	real := write("real.jsonl", ledger)
	must(t, "hub", "send", real, "--to", pair)
	answer, err := http.Get(strings.Replace(follow, "/follow/", "/v1/follow/", 1) + "/games/" + ledger[0].Game + "/proof")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(answer.Body)
	if closing := answer.Body.Close(); err != nil || closing != nil || answer.StatusCode != http.StatusOK {
		t.Fatal(answer.Status, string(raw), err, closing)
	}
	proof := filepath.Join(folder, "proof.json")
	if err := os.WriteFile(proof, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	if said := must(t, "hub", "proof", proof, "--ledger", real); !strings.Contains(said, "was not written anew") || !strings.Contains(said, ledger[0].Game) {
		t.Error(said)
	}
	anew := append([]entry.Entry(nil), ledger...)
	for i := len(anew) / 2; i < len(anew); i++ {
		if i == len(anew)/2 {
			anew[i].Wall++
		}
		if anew[i].Prev, err = anew[i-1].Hash(); err != nil {
			t.Fatal(err)
		}
	}
	if _, failed := command(t, "hub", "proof", proof, "--ledger", write("anew.jsonl", anew)); !strings.Contains(failed, "not the one that the hub signed") {
		t.Error(failed)
	}
	if _, failed := command(t, "hub", "proof", proof, "--key", "another"); !strings.Contains(failed, "another key") {
		t.Error(failed)
	}
	if err := os.WriteFile(proof, []byte(strings.Replace(string(raw), `"seq":`, `"seq":1`, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, failed := command(t, "hub", "proof", proof); !strings.Contains(failed, "proves nothing") {
		t.Error(failed)
	}
	if err := os.WriteFile(proof, []byte("[]"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, failed := command(t, "hub", "proof", proof); !strings.Contains(failed, "no proof of a hub") {
		t.Error(failed)
	}
	if info, err := os.Stat(filepath.Join(p.hub.folder, hubKeyFile)); err != nil || info.Mode().Perm() != 0o600 {
		t.Error(info, err)
	}
}
