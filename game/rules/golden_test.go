package rules_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// The golden corpus is whole games as they were written to disk, with the hash
// of the state that they fold to. The ledgers are never written anew: what was
// once written must be read by every later version. A changed hash is a changed
// answer; run with -update after reading why.
func TestGoldenGames(t *testing.T) {
	files, err := filepath.Glob("testdata/golden/*.jsonl")
	if err != nil || len(files) == 0 {
		t.Fatal("no golden games", err)
	}
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".jsonl")
		t.Run(name, func(t *testing.T) {
			ledger := readLedger(t, file)
			state := mustFold(t, ledger)
			raw, err := json.Marshal(state)
			if err != nil {
				t.Fatal(err)
			}
			again, err := json.Marshal(mustFold(t, ledger))
			if err != nil || !bytes.Equal(raw, again) {
				t.Fatal("two folds of one ledger differ", err)
			}
			sum := sha256.Sum256(raw)
			got := hex.EncodeToString(sum[:]) + "\n"
			want := strings.TrimSuffix(file, ".jsonl") + ".state.sha256"
			if *update {
				if err := os.WriteFile(want, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			old, err := os.ReadFile(want)
			if err != nil || string(old) != got {
				t.Errorf("the state of %s has changed (%v): got %s", name, err, got)
			}
		})
	}
}

func readLedger(tb testing.TB, file string) []entry.Entry {
	raw, err := os.ReadFile(file)
	if err != nil {
		tb.Fatal(err)
	}
	var ledger []entry.Entry
	for line := range bytes.Lines(raw) {
		var e entry.Entry
		if err := e.UnmarshalJSON(bytes.TrimSpace(line)); err != nil {
			tb.Fatalf("%s: %v", file, err)
		}
		ledger = append(ledger, e)
	}
	if err := entry.VerifyChain(ledger); err != nil {
		tb.Fatalf("%s: %v", file, err)
	}
	return ledger
}

// TestWriteGolden writes a game that is not in the corpus yet.
func TestWriteGolden(t *testing.T) {
	if !*update {
		t.Skip("only with -update")
	}
	for name, ledger := range map[string][]entry.Entry{"full-game": fullGame(t), "overtime-nhl": overtimeGame(t)} {
		file := filepath.Join("testdata/golden", name+".jsonl")
		if exists(file) {
			continue
		}
		var out bytes.Buffer
		prev := ""
		for _, e := range ledger {
			e.Prev = prev
			var err error
			if prev, err = e.Hash(); err != nil {
				t.Fatal(err)
			}
			line, err := e.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			out.Write(append(line, '\n'))
		}
		if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// overtimeGame is a tied game under the NHL's code that ends in overtime, with
// coincidental penalties, a captain's choice and a late difference.
func overtimeGame(tb testing.TB) []entry.Entry {
	g := newGame(tb, "nhl")
	post := func(period, minute, second int, body entry.Body) {
		g.post(entry.At{Period: period, Elapsed: entry.Clock(minute, second)}, body)
	}
	minor := []entry.Part{entry.Minor}
	g.begin(1)
	post(1, 3, 0, entry.Penalty{Side: entry.Home, Player: "3", Call: "roughing", Parts: minor})
	post(1, 3, 0, entry.Penalty{Side: entry.Visitors, Player: "5", Call: "roughing", Parts: minor})
	post(1, 4, 0, entry.Goal{Side: entry.Home, Scorer: "9", Assists: []entry.Jersey{"8", "7"}})
	g.begin(2)
	post(2, 7, 0, entry.Penalty{Side: entry.Home, Player: "3", Call: "roughing", Parts: []entry.Part{entry.Minor, entry.Minor}})
	post(2, 7, 0, entry.Penalty{Side: entry.Home, Player: "4", Call: "roughing", Parts: minor})
	post(2, 7, 0, entry.Penalty{Side: entry.Visitors, Player: "6", Call: "roughing", Parts: minor})
	g.begin(3)
	post(3, 16, 0, entry.Penalty{Side: entry.Home, Player: "11", Call: "roughing", Parts: minor})
	post(3, 16, 0, entry.Penalty{Side: entry.Visitors, Player: "12", Call: "fighting", Parts: []entry.Part{entry.Major, entry.GameMisconduct}, ServedBy: "13"})
	post(3, 19, 30, entry.Goal{Side: entry.Visitors, Scorer: "14"})
	post(3, 19, 30, entry.Penalty{Side: entry.Home, Player: "15", Call: "slashing", Parts: minor})
	g.begin(4)
	post(4, 1, 0, entry.Penalty{Side: entry.Visitors, Bench: true, ServedBy: "16", Call: "too_many_players", Parts: []entry.Part{entry.BenchMinor}})
	post(4, 2, 10, entry.Goal{Side: entry.Home, Scorer: "9"})
	return g.ledger
}

// FuzzFold: whatever is posted, in whatever order and however it is amended, the
// fold ends, gives the same bytes twice and keeps the skaters within the book.
// Four bytes make an entry: what, whom, when and how.
func FuzzFold(f *testing.F) {
	f.Add([]byte{0, 0, 0, 0, 2, 4, 10, 0, 1, 1, 20, 0})
	f.Add([]byte{1, 0, 0, 0, 2, 4, 10, 1, 2, 5, 10, 5, 2, 132, 10, 0, 1, 128, 30, 0, 4, 0, 2, 0, 5, 0, 3, 0})
	f.Fuzz(func(t *testing.T, raw []byte) {
		if len(raw) < 4 || len(raw) > 400 {
			return
		}
		g := newGame(t, storyCodes[int(raw[0])%len(storyCodes)])
		for period := 1; period <= 4; period++ {
			g.begin(period)
		}
		for ; len(raw) >= 4; raw = raw[4:] {
			fuzzEntry(g, raw[0], raw[1], raw[2], raw[3])
		}
		state := mustFold(t, g.ledger)
		for _, step := range state.Strength {
			for _, n := range step.Skaters {
				if n < 3 || n > 5 {
					t.Fatalf("%d skaters at %+v", n, step.From)
				}
			}
		}
		a, errA := json.Marshal(state)
		b, errB := json.Marshal(mustFold(t, g.ledger))
		if errA != nil || errB != nil || !bytes.Equal(a, b) {
			t.Fatal("two folds of one ledger differ", errA, errB)
		}
	})
}

func fuzzEntry(g *game, what, whom, when, how byte) {
	side := entry.Sides[whom>>7]
	player := jersey(int(whom & 15))
	at := entry.At{Period: 1 + int(when>>6), Elapsed: entry.Millis(when&63) * 19_500}
	if at.Period == 4 {
		at.Elapsed /= 5
	}
	switch what % 8 {
	case 0:
		g.post(at, entry.ClockStopped{Elapsed: at.Elapsed})
	case 1:
		on := []entry.GoalOn{entry.OnPlay, entry.OnPlay, entry.OnPenaltyShot, entry.OnAwarded}[how%4]
		g.post(at, entry.Goal{Side: side, Scorer: player, On: on})
	case 2, 3:
		p := entry.Penalty{Side: side, Player: player, Parts: storyParts[int(how&15)%len(storyParts)], Signalled: how&64 > 0}
		if p.Bench = p.Parts[0] == entry.BenchMinor; p.Bench {
			p.Player = ""
		}
		if how&128 > 0 {
			p.ServedBy = jersey(20 + int(how&7))
		}
		g.post(at, p)
	case 4:
		g.of(g.ledger[int(when)%len(g.ledger)].ID, at, entry.Amended{To: entry.Goal{Side: side, Scorer: player}})
	case 5:
		g.of(g.ledger[1+int(when)%(len(g.ledger)-1)].ID, at, entry.Struck{})
	case 6:
		if state, err := rules.Fold(g.ledger); err == nil && len(state.Asked) > 0 {
			q := state.Asked[int(how)%len(state.Asked)]
			g.post(at, entry.Choice{Question: q.ID, Picks: []entry.Jersey{q.Players[int(whom)%len(q.Players)]}})
		}
	case 7:
		g.post(at, entry.ClockSet{Elapsed: at.Elapsed})
	}
}

func exists(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}
