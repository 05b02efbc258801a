package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/api/laptop"
)

// played starts a bench with a stick, plays a little and waits for the copy.
func played(t *testing.T, data, stick string) *process {
	t.Helper()
	p := start(t, os.Args[0], "bench", "--data", data, "--listen", "127.0.0.1:0", "--copy", stick)
	p.openGame()
	p.enter(draft(1, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}))
	p.enter(draft(2, entry.ClockStarted{}))
	p.enter(draft(3, entry.ClockStopped{}),
		draft(4, entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}}),
		draft(5, entry.Goal{Side: entry.Visitors, Scorer: "9"}))
	p.copied(stick, "up_to_date")
	return p
}

// copied waits until a folder's copy stands as wanted.
func (p *process) copied(folder, state string) laptop.CopyReport {
	p.t.Helper()
	var report laptop.CopyReport
	for until := time.Now().Add(time.Minute); time.Now().Before(until); time.Sleep(30 * time.Millisecond) {
		report = laptop.CopyReport{}
		if err := json.Unmarshal(p.get("/api/copies"), &report); err != nil {
			p.t.Fatal(err)
		}
		for _, c := range report.Copies {
			held := len(report.Start) == 0 || report.Start[0].Key != "start.comparing"
			if c.Folder == folder && c.State == state && held {
				return report
			}
		}
	}
	p.t.Fatalf("the copies are %+v, want %s %s", report, folder, state)
	return report
}

func (p *process) ledger() []byte { return p.get("/api/games/" + gameID + "/ledger.jsonl") }

// runs runs a command of the program to its end.
func runs(t *testing.T, arguments ...string) (out string, failed bool) {
	t.Helper()
	cmd := exec.Command(os.Args[0], arguments...)
	cmd.Env = append(os.Environ(), runAsProgram+"=1")
	all, err := cmd.CombinedOutput()
	return string(all), err != nil
}

func must(t *testing.T, arguments ...string) string {
	t.Helper()
	out, failed := runs(t, arguments...)
	if failed {
		t.Fatalf("%v: %s", arguments, out)
	}
	return out
}

// S14: a dead laptop is replaced by another one, from each kind of copy: the
// stick, the folder beside the database, the ledger that a phone kept, a backup
// file and a backup folder. The ledger is the same to the byte.
func TestDeadLaptopIsReplaced(t *testing.T) {
	t.Parallel() // it waits most of its time
	data, stick, elsewhere := t.TempDir(), t.TempDir(), t.TempDir()
	p := played(t, data, stick)
	ledger, state := p.ledger(), p.snapshot().State
	phone := filepath.Join(elsewhere, "phone.jsonl")
	if err := os.WriteFile(phone, ledger, 0o600); err != nil {
		t.Fatal(err)
	}
	file, folder := filepath.Join(elsewhere, "all.jsonl"), t.TempDir()
	for _, target := range []string{file, folder} { // while the bench runs
		if out := must(t, "backup", target, "--data", data); !strings.Contains(out, "Saved: 1 games with 6 entries in "+target) {
			t.Errorf("backup said %q", out)
		}
	}
	p.kill()
	for name, from := range map[string]string{
		"stick": stick, "beside the database": filepath.Join(data, "copies"),
		"phone": phone, "backup file": file, "backup folder": folder,
	} {
		t.Run(name, func(t *testing.T) {
			begun := time.Now()
			fresh := filepath.Join(t.TempDir(), "games")
			out := must(t, "restore", from, "--data", fresh)
			if !strings.Contains(out, "Kelp Bay – Lanternside ("+gameID+"): 6 of 6 entries taken over, 0 were here.") {
				t.Errorf("restore said %q", out)
			}
			p := start(t, os.Args[0], "bench", "--data", fresh, "--listen", "127.0.0.1:0")
			if got := p.ledger(); !bytes.Equal(got, ledger) {
				t.Errorf("the ledger was\n%s\nand is\n%s", ledger, got)
			}
			if got := p.snapshot().State; !bytes.Equal(got, state) {
				t.Errorf("the state was\n%s\nand is\n%s", state, got)
			}
			p.enter(draft(9, entry.ClockStarted{}))
			if took := time.Since(begun); took > 5*time.Minute {
				t.Errorf("it took %v", took)
			}
			if out, failed := runs(t, "restore", from, "--data", fresh); !failed || !strings.Contains(out, "Close it first") {
				t.Errorf("into a folder in use: %q", out)
			}
			p.kill()
			if out := must(t, "restore", from, "--data", fresh); !strings.Contains(out, "nothing to take over") {
				t.Errorf("again: %q", out)
			}
		})
	}
}

// A copy whose clock ran is taken over with the clock in doubt.
func TestRestoreDoubtsARunningClock(t *testing.T) {
	data, stick := t.TempDir(), t.TempDir()
	p := played(t, data, stick)
	p.enter(draft(6, entry.ClockStarted{}))
	time.Sleep(50 * time.Millisecond)
	p.copied(stick, "up_to_date")
	p.kill()
	fresh := t.TempDir()
	if out := must(t, "restore", stick, "--data", fresh); !strings.Contains(out, "ask the referee") {
		t.Errorf("restore said %q", out)
	}
	p = start(t, os.Args[0], "bench", "--data", fresh, "--listen", "127.0.0.1:0")
	if c := p.snapshot().clock(t); c.Running || c.Doubt == nil {
		t.Errorf("the clock is %+v", c)
	}
}

// S12: the end of the ledger is lost on the disk without a trace. The copy beside
// it brings it back at the start, and the bench screen says so.
func TestLostEndComesBack(t *testing.T) {
	data, stick := t.TempDir(), t.TempDir()
	p := played(t, data, stick)
	p.copied(filepath.Join(data, "copies"), "up_to_date")
	before := p.ledger()
	p.kill()
	// A disk that lied about its syncs: SQLite's log never reached it.
	for _, name := range []string{"whistlestop.db-wal", "whistlestop.db-shm"} {
		if err := os.Remove(filepath.Join(data, name)); err != nil {
			t.Fatal(err)
		}
	}
	p = start(t, os.Args[0], "bench", "--data", data, "--listen", "127.0.0.1:0", "--copy", stick)
	if got := p.ledger(); !bytes.Equal(got, before) {
		t.Errorf("the ledger was\n%s\nand is\n%s", before, got)
	}
	if report := p.copied(stick, "up_to_date"); len(report.Start) != 1 || report.Start[0].Key != "start.mended" {
		t.Errorf("the bench screen says %+v", report)
	}
}

// S11: a database that cannot be opened is named, with what to do; what to do
// works.
func TestDamagedDatabase(t *testing.T) {
	data, stick := t.TempDir(), t.TempDir()
	p := played(t, data, stick)
	copies := filepath.Join(data, "copies")
	p.copied(copies, "up_to_date") // a copy never makes the game wait, so the test does
	before := p.ledger()
	p.kill()
	database := filepath.Join(data, "whistlestop.db")
	if err := os.WriteFile(database, bytes.Repeat([]byte("spoilt "), 4000), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(database + "-wal"); err != nil {
		t.Fatal(err)
	}
	out, failed := runs(t, "bench", "--data", data, "--listen", "127.0.0.1:0")
	if !failed || !strings.Contains(out, "is damaged") || !strings.Contains(out, "whistlestop restore "+copies) {
		t.Fatalf("the program said %q", out)
	}
	fresh := t.TempDir()
	must(t, "restore", copies, "--data", fresh)
	if got := start(t, os.Args[0], "bench", "--data", fresh, "--listen", "127.0.0.1:0").ledger(); !bytes.Equal(got, before) {
		t.Errorf("the ledger was\n%s\nand is\n%s", before, got)
	}
}

// The stick is pulled out in a game and put back.
func TestStickIsPulledOut(t *testing.T) {
	data, above := t.TempDir(), t.TempDir()
	stick, away := filepath.Join(above, "stick"), filepath.Join(above, "pocket")
	if err := os.Mkdir(stick, 0o700); err != nil {
		t.Fatal(err)
	}
	p := played(t, data, stick)
	if err := os.Rename(stick, away); err != nil {
		t.Fatal(err)
	}
	p.enter(draft(6, entry.Note{Text: "without the stick"}))
	p.copied(stick, "missing")
	p.enter(draft(7, entry.Note{Text: "the game goes on"}))
	if err := os.Rename(away, stick); err != nil {
		t.Fatal(err)
	}
	p.copied(stick, "up_to_date")
	got, err := os.ReadFile(filepath.Join(stick, gameID+".jsonl"))
	if err != nil || !bytes.Equal(got, p.ledger()) {
		t.Errorf("the copy is\n%s\n%v", got, err)
	}
}

// What cannot be restored is refused in plain words, and nothing is written.
func TestRestoreRefuses(t *testing.T) {
	t.Parallel() // it waits most of its time
	data, stick := t.TempDir(), t.TempDir()
	p := played(t, data, stick)
	ledger := p.ledger()
	p.kill()
	lines := bytes.SplitAfter(ledger, []byte("\n"))
	write := func(name string, content []byte) string {
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	changed := bytes.Replace(ledger, []byte("tripping"), []byte("hooking1"), 1)
	for name, test := range map[string]struct{ from, says string }{
		"no such file":    {filepath.Join(stick, "none.jsonl"), "cannot be read"},
		"an empty folder": {t.TempDir(), "There are no games in"},
		"no ledger":       {write("a.jsonl", []byte("milk\n")), "no copy of a game"},
		"a changed entry": {write("b.jsonl", changed), "Line 6 of the copy is damaged"},
		"a hole":          {write("c.jsonl", bytes.Join([][]byte{lines[0], lines[2]}, nil)), "Line 2 of the copy is damaged"},
	} {
		fresh := t.TempDir()
		out, failed := runs(t, "restore", test.from, "--data", fresh)
		if !failed || !strings.Contains(out, test.says) || strings.Contains(out, "goroutine") {
			t.Errorf("%s: %q", name, out)
		}
		if left, err := os.ReadDir(fresh); err != nil || len(left) > 0 {
			t.Errorf("%s: %v was written, %v", name, left, err)
		}
	}
	// The only copy there is, damaged: what comes before the damage.
	fresh := t.TempDir()
	if out := must(t, "restore", "--up-to-damage", write("d.jsonl", changed), "--data", fresh); !strings.Contains(out, "4 of 4 entries") {
		t.Errorf("up to the damage: %q", out)
	}
	// The last line was being written when the power was cut.
	if out := must(t, "restore", write("e.jsonl", ledger[:len(ledger)-40]), "--data", t.TempDir()); !strings.Contains(out, "was not finished") ||
		!strings.Contains(out, "5 of 5 entries") {
		t.Errorf("torn: %q", out)
	}
	// A folder in which the game went on differently.
	p = start(t, os.Args[0], "bench", "--data", fresh, "--listen", "127.0.0.1:0")
	p.enter(draft(20, entry.Note{Text: "another way"}))
	p.kill()
	if out, failed := runs(t, "restore", stick, "--data", fresh); !failed || !strings.Contains(out, "says something else from entry 5 on") {
		t.Errorf("forked: %q", out)
	}
}

// The bench takes a game over from a file while it runs.
func TestRestoreFromTheBenchScreen(t *testing.T) {
	first := played(t, t.TempDir(), t.TempDir())
	ledger := first.ledger()
	p := start(t, os.Args[0], "bench", "--data", t.TempDir(), "--listen", "127.0.0.1:0")
	send := func(content []byte) (int, string) {
		answer, err := http.Post(p.root+"/api/restore", "application/jsonl", bytes.NewReader(content))
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = answer.Body.Close() }()
		var body bytes.Buffer
		if _, err := body.ReadFrom(answer.Body); err != nil {
			t.Fatal(err)
		}
		return answer.StatusCode, body.String()
	}
	for _, bad := range [][]byte{nil, []byte("milk\n"), bytes.Replace(ledger, []byte("tripping"), []byte("hooking1"), 1)} {
		if status, body := send(bad); status != http.StatusUnprocessableEntity {
			t.Errorf("%.20q: %d %s", bad, status, body)
		}
	}
	status, body := send(ledger)
	if want := fmt.Sprintf(`"game":%q`, gameID); status != http.StatusOK || !strings.Contains(body, want) || !strings.Contains(body, `"added":6`) {
		t.Fatalf("%d %s", status, body)
	}
	if got := p.ledger(); !bytes.Equal(got, ledger) {
		t.Errorf("the ledger was\n%s\nand is\n%s", ledger, got)
	}
	p.enter(draft(9, entry.Note{Text: "the game goes on here"}))
	if status, body := send(append(ledger, []byte("{}\n")...)); status == http.StatusOK {
		t.Errorf("%d %s", status, body)
	}
}

// The names of a backup lie beside it. They come with it unless somebody leaves them
// out, and later by themselves; without them the games are whole, by number.
func TestNamesOfABackupAreTakenOrNot(t *testing.T) {
	t.Parallel() // it waits most of its time
	data, elsewhere, folder := t.TempDir(), t.TempDir(), t.TempDir()
	p := start(t, os.Args[0], "bench", "--data", data, "--listen", "127.0.0.1:0")
	p.named()
	ledger := p.ledger()
	file := filepath.Join(elsewhere, "season.jsonl")
	for _, target := range []string{file, folder} {
		must(t, "backup", target, "--data", data)
	}
	p.kill()
	older := filepath.Join(t.TempDir(), "older.jsonl") // as backups were: names among the lines
	if err := os.WriteFile(older, ledger, 0o600); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(ledger, []byte(whoStays)) {
		t.Fatal("nobody is named: the test shows nothing")
	}
	for _, part := range []string{file, filepath.Join(folder, gameID+".jsonl")} {
		content, err := os.ReadFile(part)
		if err != nil || bytes.Contains(content, []byte(whoStays)) {
			t.Errorf("%s has names, or is not there: %v", part, err)
		}
		if out, failed := runs(t, "restore", strings.TrimSuffix(part, ".jsonl")+".names", "--data", t.TempDir()); !failed || !strings.Contains(out, "only the names of a backup") {
			t.Errorf("the names alone: %q", out)
		}
	}
	for _, from := range []string{file, folder, older} {
		fresh := filepath.Join(t.TempDir(), "games")
		must(t, "restore", from, "--data", fresh, "--no-names")
		if files := namesIn(t, whoStays, fresh); len(files) > 0 {
			t.Errorf("%s, without names: %v", from, files)
		}
		must(t, "restore", from, "--data", fresh)
		p := start(t, os.Args[0], "bench", "--data", fresh, "--listen", "127.0.0.1:0")
		if got := p.ledger(); !bytes.Equal(got, ledger) {
			t.Errorf("%s, and the names later: the ledger was\n%s\nand is\n%s", from, ledger, got)
		}
		p.kill()
	}
	if err := os.WriteFile(strings.TrimSuffix(file, ".jsonl")+".names", []byte("milk\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if out := must(t, "restore", file, "--data", filepath.Join(t.TempDir(), "games")); !strings.Contains(out, "Not all names") || !strings.Contains(out, "taken over") {
		t.Errorf("with names that cannot be read: %q", out)
	}
}
