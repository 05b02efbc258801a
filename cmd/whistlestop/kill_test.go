package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// The game is as it was after kill -9, and the running clock is right.
func TestKilledAndStartedAgain(t *testing.T) {
	folder := t.TempDir()
	arguments := []string{"bench", "--data", folder, "--listen", "127.0.0.1:0"}
	p := start(t, os.Args[0], arguments...)
	if want := p.root + "/bench"; p.bench != want || p.wall != p.root+"/wall" {
		t.Errorf("the addresses are %s and %s", p.bench, p.wall)
	}
	p.openGame()
	p.enter(draft(1, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}))
	first := draft(2, entry.ClockStarted{})
	p.enter(first)
	time.Sleep(60 * time.Millisecond)
	stop := draft(3, entry.ClockStopped{})
	p.enter(stop,
		draft(4, entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}}),
		draft(5, entry.Goal{Side: entry.Visitors, Scorer: "9"}))
	time.Sleep(40 * time.Millisecond)
	second := draft(6, entry.ClockStarted{})
	p.enter(second)
	before := p.snapshot()
	p.kill()

	p = start(t, os.Args[0], arguments...)
	asked := wallNow()
	after := p.snapshot()
	answered := wallNow()
	if !bytes.Equal(before.State, after.State) {
		t.Errorf("the state was\n%s\nand is\n%s", before.State, after.State)
	}
	// The answer was made somewhere between the question and its arrival.
	played := stop.Wall - first.Wall
	least, most := played+asked-second.Wall, played+answered-second.Wall
	const bound entry.Millis = 50
	if shows := after.clock(t).At(after.Now); shows < least-bound || shows > most+bound {
		t.Errorf("the clock shows %d ms where %d to %d ms were played", shows, least, most)
	}
	p.enter(draft(7, entry.ClockStopped{}))
	if !after.clock(t).Running || p.snapshot().clock(t).Running {
		t.Error("the clock did not run, or does not stop")
	}
}

// The time zone of the computer is no part of a game: changed while the program
// was down, with the clock running, it moves nothing.
func TestZoneIsChangedInAGame(t *testing.T) {
	t.Setenv("TZ", "Asia/Tokyo")
	arguments := []string{"bench", "--data", t.TempDir(), "--listen", "127.0.0.1:0"}
	p := start(t, os.Args[0], arguments...)
	p.openGame()
	p.enter(draft(1, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}))
	p.enter(draft(2, entry.ClockStarted{}))
	before := p.snapshot()
	p.kill()
	t.Setenv("TZ", "America/St_Johns")
	p = start(t, os.Args[0], arguments...)
	after := p.snapshot()
	if !bytes.Equal(before.State, after.State) {
		t.Errorf("the state was\n%s\nand is\n%s", before.State, after.State)
	}
	played := after.clock(t).At(after.Now) - before.clock(t).At(before.Now)
	if passed := after.Now - before.Now; played != passed || passed < 0 || passed > 60_000 {
		t.Errorf("%d ms passed, the clock went on by %d", passed, played)
	}
}

// However often and whenever it is killed, what was answered is there, and what
// was not is whole or absent.
func TestKilledWhilePosting(t *testing.T) {
	const seed, kills = 7, 6
	random := rand.New(rand.NewPCG(seed, 0))
	folder := t.TempDir()
	answered := map[string]bool{}
	asked := map[string]string{} // each id with its companion in the same post
	count := 0
	for round := range kills {
		p := start(t, os.Args[0], "bench", "--data", folder, "--listen", "127.0.0.1:0")
		p.openGame() // again and again: it is the same game
		soon := time.Duration(random.Int64N(int64(120 * time.Millisecond)))
		var timer *time.Timer
		if round > 0 { // the first time something was answered before, however slow the machine is
			timer = time.AfterFunc(soon, p.kill0)
		}
		for {
			a, b := draft(count+1, entry.Note{Text: fmt.Sprint(count)}), draft(count+2, entry.Note{Text: "and"})
			count += 2
			asked[a.ID], asked[b.ID] = b.ID, a.ID
			body, err := json.Marshal(map[string]any{"entries": []entry.Entry{a, b}})
			if err != nil {
				t.Fatal(err)
			}
			answer, err := http.Post(p.root+"/api/games/"+gameID+"/entries", "application/json", bytes.NewReader(body))
			if err != nil {
				break
			}
			if answer.StatusCode == http.StatusOK {
				answered[a.ID], answered[b.ID] = true, true
			}
			if err := answer.Body.Close(); err != nil {
				break
			}
			if timer == nil {
				if answer.StatusCode != http.StatusOK {
					t.Fatalf("the first post is answered with %d", answer.StatusCode)
				}
				timer = time.AfterFunc(soon, p.kill0)
			}
		}
		if timer != nil {
			timer.Stop()
		}
		p.kill()
		check := start(t, os.Args[0], "bench", "--data", folder, "--listen", "127.0.0.1:0")
		kept := map[string]bool{}
		ledger, err := entry.ReadLedger(check.get("/api/games/" + gameID + "/ledger.jsonl"))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range ledger {
			kept[e.ID] = true
		}
		if err := entry.VerifyChain(ledger); err != nil {
			t.Errorf("seed %d, kill %d: %v", seed, round, err)
		}
		for id := range answered {
			if !kept[id] {
				t.Errorf("seed %d, kill %d: %s was answered and is gone", seed, round, id)
			}
		}
		for id, other := range asked {
			if kept[id] != kept[other] {
				t.Errorf("seed %d, kill %d: half a post was kept", seed, round)
			}
		}
		check.kill()
	}
	t.Logf("%d entries asked for, %d answered", len(asked), len(answered))
	if len(answered) == 0 {
		t.Error("nothing was ever answered: the test shows nothing")
	}
}

// kill0 kills without waiting, from another goroutine.
func (p *process) kill0() { _ = p.cmd.Process.Kill() }
