package main

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/withdrawal"
)

// Who is taken out in these tests, and who stays.
const (
	whoGoes  = "Zoë Tidewell-Quay"
	partOfIt = "Tidewell" // stands in nothing else
	whoStays = "Idris Calloway"
)

// namesIn returns the files below the folders in which a name stands, in any way
// in which a program writes one.
func namesIn(t *testing.T, name string, folders ...string) (files []string) {
	t.Helper()
	for _, folder := range folders {
		err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return err
			}
			content, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			if withdrawal.Names(content, name) {
				files = append(files, path)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	return files
}

// named plays a game whose rosters, notes, reasons and signatures have the name.
func (p *process) named() {
	p.t.Helper()
	p.openGame()
	team := entry.Team{Name: "Kelp Bay",
		Players: []entry.Player{{Number: "7", Name: whoGoes}, {Number: "4", Name: whoStays}},
		Staff:   []entry.Official{{Role: entry.OtherRole, Name: "Petra Windle"}}}
	p.enter(draft(1, entry.RosterSet{Side: entry.Home, Team: team}),
		draft(2, entry.RosterConfirmed{Side: entry.Home, By: whoGoes}))
	p.enter(draft(3, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}))
	note := draft(5, entry.Note{Text: "Elbow of TIDEWELL-QUAY, ZOË looked at"})
	p.enter(draft(4, entry.Goal{Side: entry.Home, Scorer: "7"}), note, draft(6, entry.Note{Text: "The ice is soft"}))
	struck := draft(7, entry.Struck{Reason: "entered for " + whoGoes})
	struck.Of = draft(6, nil).ID
	p.enter(struck)
	p.enter(draft(8, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}}))
	p.enter(draft(9, entry.Signed{Role: entry.Scorer, Name: whoGoes, Code: "Z.T.7", Drawing: "M0 0L9 9"}))
}

func (p *process) request(method, path string, body any) []byte {
	p.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		p.t.Fatal(err)
	}
	r, err := http.NewRequest(method, p.root+path, bytes.NewReader(raw))
	if err != nil {
		p.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		p.t.Fatal(err)
	}
	return p.body(answer)
}

// withdraws asks the bench where the name stands, or has it taken out.
func (p *process) withdraws(act bool) (found laptop.Withdrawal) {
	p.t.Helper()
	if err := json.Unmarshal(p.post("/api/withdrawals", map[string]any{"name": whoGoes, "act": act}), &found); err != nil {
		p.t.Fatal(err)
	}
	return found
}

// inside writes a ledger as programs did that had texts inside the lines.
func inside(t *testing.T, ledger []byte) string {
	t.Helper()
	entries, err := entry.ReadLedger(ledger)
	if err != nil {
		t.Fatal(err)
	}
	for i := range entries {
		entries[i] = entries[i].Plain()
	}
	if err := bench.Chain(nil, entries); err != nil {
		t.Fatal(err)
	}
	var file []byte
	lines := entry.Lines{}
	for _, e := range entries {
		if file, err = lines.Append(file, e); err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "inside.jsonl")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// verified holds an exported ledger against its chain, its seal and its
// withdrawals.
func verified(t *testing.T, ledger []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "ledger.jsonl")
	if err := os.WriteFile(path, ledger, 0o600); err != nil {
		t.Fatal(err)
	}
	return must(t, "verify", path)
}

// One act takes a name out of every file that is kept: of the folder, of a stick
// that was in a pocket, of a backup, and of an older backup that is taken over
// afterwards. The chain, the seal and the figures hold.
func TestANameIsTakenOutEverywhere(t *testing.T) {
	t.Parallel() // it waits most of its time
	for version, older := range map[string]bool{"beside the lines": false, "inside the lines": true} {
		t.Run(version, func(t *testing.T) { takenOutEverywhere(t, older) })
	}
}

func takenOutEverywhere(t *testing.T, older bool) {
	data, above, backups, old := t.TempDir(), t.TempDir(), t.TempDir(), t.TempDir()
	stick, pocket := filepath.Join(above, "stick"), filepath.Join(above, "pocket")
	if err := os.Mkdir(stick, 0o700); err != nil {
		t.Fatal(err)
	}
	arguments := []string{"bench", "--data", data, "--listen", "127.0.0.1:0", "--copy", stick}
	p := start(t, os.Args[0], arguments...)
	p.named()
	if older {
		file := inside(t, p.ledger())
		p.kill()
		data = t.TempDir()
		arguments[2] = data
		if err := os.RemoveAll(filepath.Join(stick, gameID+".jsonl")); err != nil {
			t.Fatal(err)
		}
		must(t, "restore", file, "--data", data)
		p = start(t, os.Args[0], arguments...)
	}
	p.post("/api/games/"+gameID+"/seal", map[string]any{"missing": whoGoes + " went home"})
	p.request(http.MethodPut, "/api/teams", map[string]any{"team": entry.Team{Name: "Kelp Bay",
		Players: []entry.Player{{Number: "7", Name: whoGoes}, {Number: "4", Name: whoStays}}}})
	p.copied(stick, "up_to_date")
	p.copied(filepath.Join(data, "copies"), "up_to_date")
	folder := t.TempDir()
	for _, target := range []string{filepath.Join(backups, "all.jsonl"), filepath.Join(old, "all.jsonl"), folder} {
		must(t, "backup", target, "--data", data)
	}
	if err := os.Rename(stick, pocket); err != nil {
		t.Fatal(err)
	}
	if files := namesIn(t, partOfIt, data, pocket, backups); len(files) < 5 {
		t.Fatalf("before the act the name stands in %v only: the test shows nothing", files)
	}
	var before, after struct {
		Score json.RawMessage `json:"score"`
		Goals []struct {
			Scorer string `json:"scorer"`
		} `json:"goals"`
		Sealed bool `json:"sealed"`
	}
	if err := json.Unmarshal(p.get("/api/games/"+gameID+"/report"), &before); err != nil {
		t.Fatal(err)
	}

	look := p.withdraws(false)
	if len(look.Games) != 1 || look.Games[0].Texts != 8 || len(look.Teams) != 1 || look.Done || len(look.Left) != 0 {
		t.Errorf("it stands in %+v", look)
	}
	done := p.withdraws(true)
	if len(done.Games) != 1 || !done.Done || len(done.Left) != 0 || len(done.Waiting) != 1 || done.Waiting[0] != stick {
		t.Errorf("it was taken out of %+v", done)
	}
	if files := namesIn(t, partOfIt, data); len(files) > 0 {
		t.Errorf("while the bench runs it stands in %v", files)
	}
	ledger := p.ledger()
	if !bytes.Contains(ledger, []byte(whoStays)) || bytes.Contains(ledger, []byte("Z.T.7")) || bytes.Contains(ledger, []byte("M0 0L9 9")) {
		t.Errorf("the ledger is\n%s", ledger)
	}
	if says := verified(t, ledger); older != strings.Contains(says, "the bench's key vouches") {
		t.Errorf("verify says %q", says)
	}
	if err := json.Unmarshal(p.get("/api/games/"+gameID+"/report"), &after); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(before.Score, after.Score) || !after.Sealed || len(after.Goals) != 1 || after.Goals[0].Scorer != "7" {
		t.Errorf("the report was %+v and is %+v", before, after)
	}
	for _, format := range []string{"csv", "html?names=yes", "pdf", "xlsx"} {
		if got := p.get("/api/games/" + gameID + "/report." + format); withdrawal.Names(got, whoGoes) {
			t.Errorf("the report as %s has the name", format)
		}
	}
	if public := p.get("/api/games/" + gameID + "?view=public"); !bytes.Contains(public, []byte(`"scorer":"—"`)) {
		t.Errorf("strangers see %s", public)
	}
	if again := p.withdraws(true); !again.Nowhere() {
		t.Errorf("again: %+v", again)
	}
	p.enter(draft(20, entry.Note{Text: "the ledger goes on"}))
	must(t, "backup", folder, "--data", data) // in place of the one with the name
	if files := namesIn(t, partOfIt, folder); len(files) > 0 {
		t.Errorf("the newer backup has it: %v", files)
	}
	p.kill() // the log is whole then, and nobody writes it any more
	output := p.output.String()
	if strings.Contains(strings.ToLower(output), strings.ToLower(whoGoes)) {
		t.Errorf("the log has the name: %s", output)
	}
	if out := must(t, "withdraw", whoGoes, "--data", data, "--also", backups); !strings.Contains(out, "Done.") {
		t.Errorf("with a backup: %q", out)
	}

	// The stick comes back to a bench that knows ids only.
	if err := os.Rename(pocket, stick); err != nil {
		t.Fatal(err)
	}
	p = start(t, os.Args[0], arguments...)
	p.copied(stick, "up_to_date")
	p.copied(filepath.Join(data, "copies"), "up_to_date")
	ledger = p.ledger()
	p.kill()
	if files := namesIn(t, partOfIt, data, stick, backups); len(files) > 0 {
		t.Errorf("it stands in %v", files)
	}
	if files := namesIn(t, whoStays, data, stick, backups); len(files) < 4 {
		t.Errorf("who stays is in %v only", files)
	}
	verified(t, ledger)

	// Everything but the list is lost, and an older backup is taken over.
	for _, name := range []string{"whistlestop.db", "whistlestop.db-wal", "whistlestop.db-shm", "copies", "heads.txt"} {
		if err := os.RemoveAll(filepath.Join(data, name)); err != nil {
			t.Fatal(err)
		}
	}
	must(t, "restore", filepath.Join(old, "all.jsonl"), "--data", data)
	p = start(t, os.Args[0], arguments[:5]...)
	p.copied(filepath.Join(data, "copies"), "up_to_date")
	ledger = p.ledger()
	time.Sleep(10 * time.Millisecond)
	p.kill()
	if files := namesIn(t, partOfIt, data); len(files) > 0 {
		t.Errorf("after an older backup it stands in %v", files)
	}
	verified(t, ledger)
	if !bytes.Contains(ledger, []byte(whoStays)) {
		t.Error("who stays is gone")
	}
}
