package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
)

func (p *process) endsNames(act bool) (told laptop.NamesEnded) {
	p.t.Helper()
	if err := json.Unmarshal(p.post("/api/copies/end-names", map[string]any{"act": act}), &told); err != nil {
		p.t.Fatal(err)
	}
	return told
}

// seated makes a device a seat of the game.
func (p *process) seated() {
	p.t.Helper()
	var offer struct{ Code string }
	var asked struct{ Request, Secret string }
	game := "/api/games/" + gameID
	for _, step := range []struct {
		path string
		body func() any
		into any
	}{
		{game + "/invites", func() any { return map[string]any{"seat": "book", "side": ""} }, &offer},
		{"/api/join", func() any { return map[string]any{"code": offer.Code, "device": "a phone"} }, &asked},
		{game + "/seats/approve", func() any { return map[string]any{"request": asked.Request} }, &struct{}{}},
	} {
		if err := json.Unmarshal(p.post(step.path, step.body()), step.into); err != nil {
			p.t.Fatal(err)
		}
	}
	p.post("/api/join/"+asked.Request, map[string]any{"secret": asked.Secret})
}

// One act ends the names on all copies: beside the games, on a stick, on one that was
// away, in backups. The bench has them as before, and what follows in those games has
// none on the copies either.
func TestNamesEndOnAllCopies(t *testing.T) {
	t.Parallel() // it waits most of its time
	data, above, backups := t.TempDir(), t.TempDir(), t.TempDir()
	stick, pocket := filepath.Join(above, "stick"), filepath.Join(above, "pocket")
	if err := os.Mkdir(stick, 0o700); err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(data, "copies")
	arguments := []string{"bench", "--data", data, "--listen", "127.0.0.1:0", "--copy", stick}
	p := start(t, os.Args[0], arguments...)
	p.named()
	p.seated()
	p.copied(stick, "up_to_date")
	p.copied(own, "up_to_date")
	aside, err := os.ReadFile(filepath.Join(own, gameID+".jsonl"))
	if err == nil { // a copy that went another way and was kept
		err = os.WriteFile(filepath.Join(own, gameID+".jsonl.set-aside-1"), aside, 0o600)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, target := range []string{filepath.Join(backups, "all.jsonl"), backups} {
		must(t, "backup", target, "--data", data)
	}
	before := p.ledger()
	for _, folder := range []string{own, stick, backups} {
		if len(namesIn(t, whoStays, folder)) == 0 {
			t.Fatalf("%s has no names before: the test shows nothing", folder)
		}
	}
	if look := p.endsNames(false); look.Done || look.Games != 1 || len(look.Reached) != 2 || len(namesIn(t, whoStays, own, stick)) < 3 {
		t.Errorf("to look says %+v, or changed something", look)
	}
	if err := os.Rename(stick, pocket); err != nil {
		t.Fatal(err)
	}
	p.copied(stick, "missing")
	done := p.endsNames(true)
	if !done.Done || len(done.Reached) != 1 || done.Reached[0] != own || len(done.Waiting) != 1 || done.Waiting[0] != stick || len(done.Failed) != 0 {
		t.Errorf("it says %+v", done)
	}
	// The game is over: the phone is told that its seat is, and deletes its copy.
	if list := p.get("/api/games/" + gameID + "/seats"); done.Phones != 1 || done.Kept != 0 || !bytes.Contains(list, []byte(`"sessions":[]`)) {
		t.Errorf("%+v, and the seats are %s", done, list)
	}
	if files := namesIn(t, whoStays, own); len(files) > 0 {
		t.Errorf("the names stand in %v", files)
	}
	if got := p.ledger(); !bytes.Equal(got, before) {
		t.Errorf("the bench has\n%s\nand had\n%s", got, before)
	}
	p.enter(draft(30, entry.Note{Text: "Seen by " + whoStays}))
	p.copied(own, "up_to_date")
	p.kill()
	if files := namesIn(t, whoStays, own); len(files) > 0 {
		t.Errorf("after another entry the names stand in %v", files)
	}

	// The stick comes back after a start.
	if err := os.Rename(pocket, stick); err != nil {
		t.Fatal(err)
	}
	p = start(t, os.Args[0], arguments...)
	p.copied(stick, "up_to_date")
	p.copied(own, "up_to_date")
	ledger := p.ledger()
	p.kill()
	if files := namesIn(t, whoStays, own, stick); len(files) > 0 || !bytes.Contains(ledger, []byte(whoStays)) {
		t.Errorf("after a start the names stand in %v", files)
	}

	out := must(t, "end-names", "--data", data, "--copy", stick, "--also", backups)
	if !strings.Contains(out, "Without names now: "+backups) || !strings.Contains(out, "Not reached") {
		t.Errorf("the command says %q", out)
	}
	if files := namesIn(t, whoStays, backups, own, stick); len(files) > 0 {
		t.Errorf("the names stand in %v", files)
	}
	if out, failed := runs(t, "end-names", "--data", data, "--also", filepath.Join(backups, "nowhere.jsonl")); !failed || !strings.Contains(out, "Not reached, the names still stand there") {
		t.Errorf("with a backup that is not there: %q", out)
	}
	// What the copies have is whole, by number.
	fresh := filepath.Join(t.TempDir(), "games")
	if out := must(t, "restore", stick, "--data", fresh); !strings.Contains(out, "entries taken over") {
		t.Errorf("restore says %q", out)
	}
}
