package rules_test

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// grow folds a ledger entry by entry, each time from the fold before, and holds
// every state against the fold of the whole.
func grow(tb interface {
	Fatal(...any)
	Fatalf(string, ...any)
}, ledger []entry.Entry) (last *rules.Folded) {
	for n := 1; n <= len(ledger); n++ {
		// A copy, as a bench makes one: nothing may hang on the entries' addresses.
		after, err := rules.FoldAfter(last, append([]entry.Entry{}, ledger[:n]...))
		if err != nil {
			tb.Fatal(err)
		}
		got, errGot := json.Marshal(after.State)
		want, errWant := json.Marshal(mustFold(tb, ledger[:n]))
		if errGot != nil || errWant != nil || string(got) != string(want) {
			tb.Fatalf("after entry %d (%s) the state is not that of the whole ledger", n, ledger[n-1].Kind())
		}
		fresh := map[int]bool{}
		for _, i := range after.Fresh {
			fresh[i] = true
		}
		for i, line := range after.State.Lines {
			if fresh[i] || last != nil && i < len(last.State.Lines) && alike(last.State.Lines[i], line) {
				continue
			}
			tb.Fatalf("after entry %d line %d is another one, and is not said to be fresh", n, i)
		}
		last = after
	}
	return last
}

// alike says whether two lines are written alike.
func alike(a, b rules.Line) bool {
	if reflect.DeepEqual(a, b) {
		return true // most are, and this is much quicker than writing both
	}
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
}

// chained gives each entry a mark of its own in place of a hash.
func chained(ledger []entry.Entry) []entry.Entry {
	for i := range ledger {
		ledger[i].Seq = i + 1
		if i > 0 {
			ledger[i].Prev = fmt.Sprint("entry ", i)
		}
	}
	return ledger
}

func TestFoldAfterIsFoldOfTheWhole(t *testing.T) {
	files, err := filepath.Glob("testdata/golden/*.jsonl")
	if err != nil || len(files) == 0 {
		t.Fatal("no golden games", err)
	}
	for _, file := range files {
		grow(t, readLedger(t, file))
	}
	rapid.Check(t, func(t *rapid.T) {
		s := drawStory(t)
		g := s.ledger(nilTB{})
		for range rapid.IntRange(1, 12).Draw(t, "more") {
			of := g.ledger[rapid.IntRange(0, len(g.ledger)-1).Draw(t, "of")]
			switch rapid.IntRange(0, 7).Draw(t, "what") {
			case 0:
				g.of(of.ID, of.At, entry.Struck{})
			case 1:
				to := of.Body
				if goal, is := to.(entry.Goal); is {
					goal.Side = goal.Side.Other()
					to = goal
				}
				if _, is := to.(entry.Amended); !is {
					g.of(of.ID, entry.At{Period: of.At.Period, Elapsed: of.At.Elapsed / 2}, entry.Amended{To: to})
				}
			case 2:
				g.post(of.At, entry.RosterSet{Side: entry.Home, Team: entry.Team{Name: rapid.SampledFrom([]string{"Millrace", "Northmole"}).Draw(t, "name")}})
			case 3:
				g.post(of.At, entry.ClockSet{Elapsed: of.At.Elapsed, Moves: rapid.Bool().Draw(t, "moves")})
			case 4:
				g.post(of.At, entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 2}, Length: entry.Clock(rapid.IntRange(1, 20).Draw(t, "length"), 0)})
			case 5:
				g.post(of.At, entry.Note{Text: "A note."})
			case 6:
				g.post(of.At, entry.Penalty{Side: entry.Home, Player: "4", Parts: []entry.Part{entry.Minor}})
			case 7:
				g.post(of.At, entry.Shots{Side: entry.Visitors, Count: 1})
			}
		}
		grow(t, chained(g.ledger))
	})
}

// TestFoldAfterKeepsTheLines: of a long game almost nothing is worked out anew
// for one more entry.
func TestFoldAfterKeepsTheLines(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	for i := range 10_000 {
		g.post(entry.At{Period: 1, Elapsed: entry.Millis(i % 1000)}, entry.Note{Text: "A note."})
	}
	first := g.ledger[10]
	g.of(first.ID, first.At, entry.Amended{To: entry.Note{Text: "Another."}})
	ledger := chained(g.ledger)
	before, err := rules.FoldAfter(nil, ledger[:len(ledger)-1])
	if err != nil || len(before.Fresh) != len(ledger)-1 {
		t.Fatal(len(before.Fresh), err)
	}
	after, err := rules.FoldAfter(before, ledger)
	if err != nil || len(after.Fresh) != 2 || after.Fresh[0] != 10 {
		t.Fatal("lines worked out for one amendment:", after.Fresh, err)
	}
}

// TestDraftsAreNeverTakenForOthers: a draft may change under the same id before
// it is posted, so what was worked out for it is not used again.
func TestDraftsAreNeverTakenForOthers(t *testing.T) {
	g := newGame(t, "usah-youth")
	g.begin(1)
	ledger := chained(g.ledger)
	n := len(ledger)
	draft := entry.Entry{ID: id26(99), Game: gameID, Seq: n + 1, Seat: entry.Solo, Body: entry.Note{Text: "One."}}
	one, err := rules.FoldAfter(nil, append(ledger[:n:n], draft))
	if err != nil {
		t.Fatal(err)
	}
	draft.Body = entry.Note{Text: "Two."}
	two, err := rules.FoldAfter(one, append(ledger[:n:n], draft))
	if err != nil || two.State.Lines[n].Say.Args.Get("text") != "Two." {
		t.Fatal(two.State.Lines[n], err)
	}
}
