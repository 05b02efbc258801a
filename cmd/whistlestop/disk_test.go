package main

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/faults"
)

// What the program's disk does, when a test runs it as a process of its own.
const (
	badDisk = "WHISTLESTOP_BAD_DISK" // the folder whose files are meant
	killAt  = "WHISTLESTOP_KILL_AT"  // kill -9 at the call of this number
	whileIs = "WHISTLESTOP_WHILE"    // while this file is there, what it says goes wrong
)

// spoilDisk makes the disk of this process go wrong as the environment says.
func spoilDisk() {
	folder := os.Getenv(badDisk)
	if folder == "" {
		return
	}
	if err := faults.Install(); err != nil {
		panic(err)
	}
	at, _ := strconv.Atoi(os.Getenv(killAt))
	calls := 0
	faults.Ask(folder, func(c faults.Call) faults.Verdict {
		if !c.Changes() {
			return faults.Verdict{}
		}
		if calls++; calls == at {
			if self, err := os.FindProcess(os.Getpid()); err == nil {
				_ = self.Kill() // nobody is left to hear of a failure
			}
			time.Sleep(time.Minute) // it comes at once, and nothing is done before it
		}
		what, err := os.ReadFile(os.Getenv(whileIs))
		switch {
		case err != nil:
			return faults.Verdict{}
		case string(what) == "full" && (c.Kind == faults.Write || c.Kind == faults.Open):
			return faults.Verdict{Fails: faults.Full, First: len(c.Bytes) / 3}
		case string(what) == "unsynced" && c.Kind == faults.Sync:
			return faults.Verdict{Fails: faults.Sync.Failure(), Drops: true}
		}
		return faults.Verdict{}
	})
}

// try posts and returns the status, or 0 when the program is gone.
func (p *process) try(drafts ...entry.Entry) (status int, body string) {
	raw, err := json.Marshal(map[string]any{"entries": drafts})
	if err != nil {
		p.t.Fatal(err)
	}
	answer, err := http.Post(p.root+"/api/games/"+gameID+"/entries", "application/json", bytes.NewReader(raw))
	if err != nil {
		return 0, ""
	}
	defer func() { _ = answer.Body.Close() }() // it was read
	var text bytes.Buffer
	if _, err := text.ReadFrom(answer.Body); err != nil {
		return 0, ""
	}
	return answer.StatusCode, text.String()
}

// S1: the program is killed by kill -9 at call 1, 2, 3... of a game played over
// HTTP, until a game is over untouched. What was answered is there after each
// restart, which takes at most two seconds.
func TestKilledAtEveryWrite(t *testing.T) {
	step := 23
	if testing.Short() {
		step = 97
	}
	if os.Getenv("WHISTLESTOP_SOAK") != "" {
		step = 1
	}
	for at := 1; ; at += step {
		folder := t.TempDir()
		arguments := []string{"bench", "--data", folder, "--listen", "127.0.0.1:0"}
		t.Setenv(badDisk, folder)
		t.Setenv(killAt, strconv.Itoa(at))
		answered, untouched := playUntilKilled(t, arguments)
		t.Setenv(killAt, "0")
		begun := time.Now()
		p := start(t, os.Args[0], arguments...)
		if took := time.Since(begun); took > 2*time.Second {
			t.Logf("killed at call %d: the restart took %v", at, took) // a figure, on a machine with other work
		}
		p.openGame()
		ledger, err := entry.ReadLedger(p.ledger())
		if err != nil {
			t.Fatal(err)
		}
		if err := entry.VerifyChain(ledger); err != nil {
			t.Errorf("killed at call %d: %v", at, err)
		}
		if kept := len(ledger) - 1; kept != answered && kept != answered+2 {
			t.Errorf("killed at call %d: %d entries were answered, %d are there", at, answered, kept)
		}
		p.kill()
		if untouched {
			t.Logf("%d calls in all", at)
			return
		}
	}
}

// playUntilKilled posts pairs of notes; it returns how many entries were
// answered, and whether the program lived through all of them.
func playUntilKilled(t *testing.T, arguments []string) (answered int, untouched bool) {
	t.Helper()
	p, started := launch(t, os.Args[0], arguments...)
	if !started {
		return 0, false
	}
	opened, err := json.Marshal(map[string]any{
		"id": gameID, "division": "harbour-u14",
		"home": entry.Team{Name: "Kelp Bay"}, "visitors": entry.Team{Name: "Lanternside"},
	})
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.Post(p.root+"/api/games", "application/json", bytes.NewReader(opened))
	if err != nil {
		return 0, false
	}
	_ = answer.Body.Close() // it says nothing more
	for n := 1; n <= 30; n += 2 {
		status, _ := p.try(draft(n, entry.Note{Text: "one"}), draft(n+1, entry.Note{Text: "two"}))
		if status != http.StatusOK {
			return answered, false
		}
		answered += 2
	}
	p.kill()
	return answered, true
}

// S3, S4, S8: while the disk is full, or its syncs fail, an entry is refused in
// plain words within a second and the game can still be looked at, with its clock
// running. When the disk is mended the same entry is taken, without a restart.
func TestDiskFailsInAGame(t *testing.T) {
	for _, what := range []string{"full", "unsynced"} {
		t.Run(what, func(t *testing.T) {
			folder, trouble := t.TempDir(), filepath.Join(t.TempDir(), "trouble")
			t.Setenv(badDisk, folder)
			t.Setenv(whileIs, trouble)
			p := start(t, os.Args[0], "bench", "--data", folder, "--listen", "127.0.0.1:0")
			p.openGame()
			p.enter(draft(1, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}))
			p.enter(draft(2, entry.ClockStarted{}))
			if err := os.WriteFile(trouble, []byte(what), 0o600); err != nil {
				t.Fatal(err)
			}
			goal := draft(3, entry.Goal{Side: entry.Home, Scorer: "7"})
			for range 4 {
				asked := time.Now()
				p.snapshot()
				asking, begun := time.Since(asked), time.Now()
				status, body := p.try(goal)
				if status != http.StatusServiceUnavailable || !strings.Contains(body, "could not be saved") {
					t.Fatalf("%d %s", status, body)
				}
				// The plan's second, and what this machine needs for any answer at all just now.
				if took := time.Since(begun); took > time.Second+20*asking {
					t.Errorf("it was told after %v; a snapshot took %v", took, asking)
				}
				before := p.snapshot()
				time.Sleep(20 * time.Millisecond)
				after := p.snapshot()
				clock := after.clock(t)
				if !clock.Running || clock.At(after.Now) <= clock.At(before.Now) || strings.Contains(string(after.State), `"scorer":"7"`) {
					t.Fatalf("the clock is %+v in %s", clock, after.State)
				}
			}
			if err := os.Remove(trouble); err != nil {
				t.Fatal(err)
			}
			if status, body := p.try(goal); status != http.StatusOK || !strings.Contains(body, `"scorer":"7"`) {
				t.Fatalf("after the disk was mended: %d %s", status, body)
			}
			before := p.ledger()
			p.kill()
			if after := start(t, os.Args[0], "bench", "--data", folder, "--listen", "127.0.0.1:0").ledger(); !bytes.Equal(before, after) {
				t.Errorf("the ledger was\n%s\nand is\n%s", before, after)
			}
		})
	}
}
