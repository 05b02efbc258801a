package main

import (
	"bytes"
	"crypto/ed25519"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"flag"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/internal/store/sqlite"
)

var updateHostile = flag.Bool("update-hostile", false, "write testdata/hostile and what is expected of it anew")

const hostileFolder = "../../testdata/hostile"

// answers is what each entrance makes of a file. The words are those of this
// test: "taken 1" entries, "proposed 1", "refused", or the key of what is said at
// the start.
type answers struct {
	Verify  string `json:"verify"`  // whistlestop verify, with the bench's key known
	Restore string `json:"restore"` // whistlestop restore
	Upload  string `json:"upload"`  // the file sent to the bench, as a phone's copy is
	Copies  string `json:"copies"`  // in the folder of copies beside the games, at the start
	Stick   string `json:"stick"`   // on a stick, at the start
	Roster  string `json:"roster"`  // chosen as a roster
}

// hostileBenches are folders with the game, another one beside it, and a key, by the
// entries of the game: made once and copied for each entrance of each file.
func hostileBenches(t *testing.T) func(t *testing.T, count int) string {
	t.Helper()
	made := map[int]string{hostileHere: hostileBench(t, hostileHere), hostileSealed: hostileBench(t, hostileSealed)}
	return func(t *testing.T, count int) string {
		t.Helper()
		folder := t.TempDir()
		if err := os.CopyFS(folder, os.DirFS(made[count])); err != nil {
			t.Fatal(err)
		}
		return folder
	}
}

func hostileBench(t *testing.T, count int) string {
	t.Helper()
	folder := t.TempDir()
	s, err := sqlite.Open(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	for game, n := range map[string]int{hostileGame: count, hostileOther: 4} {
		if err := s.Append(t.Context(), game, hostileLedger(t, game, n)); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	der, err := x509.MarshalPKCS8PrivateKey(ed25519.PrivateKey(hostileKey(1)))
	if err != nil {
		t.Fatal(err)
	}
	key := pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der})
	if err := os.WriteFile(filepath.Join(folder, "bench-key.pem"), key, 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

// served is a bench that runs within the test.
type served struct {
	*Program
	t *testing.T
}

func serveHostile(t *testing.T, arguments ...string) served {
	t.Helper()
	p := &Program{Out: &bytes.Buffer{}, Log: &bytes.Buffer{}}
	if err := p.Run(t.Context(), append([]string{"bench", "--listen", "127.0.0.1:0"}, arguments...)); err != nil {
		t.Fatalf("the bench does not start: %s", p.explain(err))
	}
	return served{p, t}
}

func (s served) ask(path string, body []byte, into any) (status int) {
	s.t.Helper()
	url := "http://" + s.address.String() + path
	var answer *http.Response
	var err error
	if body == nil {
		answer, err = http.Get(url)
	} else {
		answer, err = http.Post(url, "application/octet-stream", bytes.NewReader(body))
	}
	if err != nil {
		s.t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	if err := json.NewDecoder(answer.Body).Decode(into); err != nil {
		s.t.Fatalf("%s: status %d, %v", path, answer.StatusCode, err)
	}
	return answer.StatusCode
}

// unharmed checks that the game has the entries that it had, and so many more,
// and that the one beside it noticed nothing. It ends the bench.
func (s served) unharmed(here, more int) {
	s.t.Helper()
	for game, want := range map[string]int{hostileGame: here + more, hostileOther: 4} {
		var shown struct{ State struct{ Seq int } }
		if status := s.ask("/api/games/"+game, nil, &shown); status != http.StatusOK || shown.State.Seq != want {
			s.t.Errorf("game %s has %d entries, not %d (status %d)", game, shown.State.Seq, want, status)
		}
	}
	if err := s.Close(); err != nil {
		s.t.Error(err)
	}
}

func (s served) said(here int) string {
	var keys []string
	for _, what := range s.toldAtTheEnd() {
		keys = append(keys, what.Key)
	}
	s.unharmed(here, 0)
	return strings.Join(keys, " ")
}

// through brings a file through every entrance.
func through(t *testing.T, benchOf func(t *testing.T, count int) string, name string, content []byte) (a answers) {
	here := hostileHere
	if name == "after-the-seal.jsonl" {
		here = hostileSealed
	}
	path := filepath.Join(t.TempDir(), "file.jsonl")
	write := func(path string) {
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(path)

	data := benchOf(t, here)
	printed, failed := command(t, "verify", path, "--data", data, "--json")
	var verdict struct {
		First *struct{ Say struct{ Key string } }
	}
	switch err := json.Unmarshal([]byte(printed), &verdict); {
	case printed == "" && failed != "":
		a.Verify = "refused"
	case err != nil:
		t.Fatal(err)
	case verdict.First == nil:
		a.Verify = "whole"
	default:
		a.Verify = verdict.First.Say.Key
	}

	printed, failed = command(t, "restore", path, "--data", data)
	a.Restore = "nothing"
	switch {
	case strings.Contains(failed, "--accept"):
		a.Restore = "proposed"
	case failed != "":
		a.Restore = "refused"
	case strings.Contains(printed, "entries taken over"):
		a.Restore = "taken"
	}
	serveHostile(t, "--data", data).unharmed(here, 0)

	bench := serveHostile(t, "--data", benchOf(t, here))
	var sent struct {
		Games []struct{ Added, Proposed int }
	}
	switch status := bench.ask("/api/restore", content, &sent); {
	case status == http.StatusOK && len(sent.Games) == 1:
		a.Upload = fmt.Sprintf("taken %d, proposed %d", sent.Games[0].Added, sent.Games[0].Proposed)
	default:
		a.Upload = fmt.Sprintf("refused %d", status)
	}
	var roster struct {
		Usable   bool
		Findings []struct {
			Level string
			Say   struct{ Key string }
		}
	}
	switch status := bench.ask("/api/rosters/read", content, &roster); {
	case status != http.StatusOK:
		a.Roster = fmt.Sprintf("refused %d", status)
	case roster.Usable:
		a.Roster = "usable"
	default:
		for _, f := range roster.Findings {
			if f.Level == "mistake" && a.Roster == "" {
				a.Roster = f.Say.Key
			}
		}
	}
	bench.unharmed(here, 0)

	data = benchOf(t, here)
	if err := os.Mkdir(filepath.Join(data, "copies"), 0o700); err != nil {
		t.Fatal(err)
	}
	write(filepath.Join(data, "copies", hostileGame+".jsonl"))
	a.Copies = serveHostile(t, "--data", data).said(here)

	stick := t.TempDir()
	write(filepath.Join(stick, hostileGame+".jsonl"))
	a.Stick = serveHostile(t, "--data", benchOf(t, here), "--copy", stick).said(here)
	return a
}

// F7: every file of testdata/hostile, through every entrance, is refused, named
// or put before a person; nothing of it is taken, and the game beside it does not
// notice. The large files are made here.
func TestHostileFiles(t *testing.T) {
	files, expected := hostileFiles(t), map[string]answers{}
	wanted, err := os.ReadFile(filepath.Join(hostileFolder, "expected.json"))
	if err == nil {
		err = json.Unmarshal(wanted, &expected)
	}
	if err != nil && !*updateHostile {
		t.Fatal(err)
	}
	got, benchOf := map[string]answers{}, hostileBenches(t)
	for name, content := range files {
		path := filepath.Join(hostileFolder, name)
		if *updateHostile {
			if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(path)
		if err != nil || string(kept) != content {
			t.Errorf("%s is not what hostileFiles makes (%v): run with -update-hostile and read the difference", name, err)
		}
		t.Run(name, func(t *testing.T) { got[name] = through(t, benchOf, name, kept) })
	}
	if !testing.Short() {
		for name, content := range hostileLarge(t) {
			t.Run(name, func(t *testing.T) { got[name] = through(t, benchOf, name, []byte(content)) })
		}
	}
	if *updateHostile {
		text, err := json.MarshalIndent(got, "", "  ")
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(hostileFolder, "expected.json"), append(text, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	for name, one := range got {
		if one != expected[name] {
			t.Errorf("%s: %+v, want %+v", name, one, expected[name])
		}
	}
}
