package sqlite

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
	"whistlestop/internal/proof/faults"
)

// soaking asks for every crash instead of some: make soak.
func soaking() bool { return os.Getenv("WHISTLESTOP_SOAK") != "" }

// played is a whole game as it was posted.
type played struct {
	ledger []entry.Entry
	posts  [][]entry.Entry
	trace  *faults.Trace
	safe   []int // after each post: the calls made by the time it was acknowledged
}

// wholeGame is the invented game up to the overtime, three times over in notes,
// so that SQLite also moves its log into the database while the game is on.
func wholeGame(t testing.TB) []entry.Entry {
	t.Helper()
	ledger, err := demo.Ledger("overtime", 1_700_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	for n := range 3 * len(ledger) {
		last := ledger[len(ledger)-1]
		prev, err := last.Hash()
		if err != nil {
			t.Fatal(err)
		}
		ledger = append(ledger, entry.Entry{
			ID: fmt.Sprintf("01JD%022d", n), Game: last.Game, Seq: last.Seq + 1, At: last.At,
			Wall: last.Wall + 1000, Seat: entry.Solo, Prev: prev,
			Body: entry.Note{Text: fmt.Sprintf("What was seen, number %d.", n)},
		})
	}
	return ledger
}

// play posts the whole game, closing the program at a third of it, and writes
// down what the disk was asked.
func play(t *testing.T) *played {
	t.Helper()
	folder, ctx := t.TempDir(), context.Background()
	p := &played{ledger: wholeGame(t), trace: faults.Record(t, folder)}
	random := rand.New(rand.NewPCG(1, 0))
	for rest := p.ledger; len(rest) > 0; {
		n := min(len(rest), 1+random.IntN(3))
		p.posts = append(p.posts, rest[:n])
		rest = rest[n:]
	}
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	for i, post := range p.posts {
		if i == len(p.posts)/3 {
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			if s, err = Open(ctx, folder); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.Append(ctx, post[0].Game, post); err != nil {
			t.Fatal(err)
		}
		p.safe = append(p.safe, p.trace.Calls())
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return p
}

// check opens what a crash left and holds it against the oracle: what was
// acknowledged is there, what was not is whole or absent, and the game can go on.
func (p *played) check(t *testing.T, what string, calls int, disk faults.Disk) {
	t.Helper()
	folder := t.TempDir()
	disk.Write(t, folder)
	p.checkFolder(t, what, calls, folder)
	if err := os.RemoveAll(folder); err != nil {
		t.Fatal(err)
	}
}

func (p *played) checkFolder(t *testing.T, what string, calls int, folder string) {
	t.Helper()
	ctx, game := context.Background(), p.ledger[0].Game
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatalf("%s: it does not open: %v", what, err)
	}
	defer func() {
		if err := s.Close(); err != nil {
			t.Errorf("%s: close: %v", what, err)
		}
	}()
	var healthy string
	if err := s.db.QueryRow("PRAGMA integrity_check").Scan(&healthy); err != nil || healthy != "ok" {
		t.Fatalf("%s: the database says %q, %v", what, healthy, err)
	}
	ledger, err := s.Load(ctx, game)
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	acknowledged, whole := 0, false
	kept := 0
	for i, post := range p.posts {
		if p.safe[i] <= calls {
			acknowledged += len(post)
		}
		whole = whole || kept == len(ledger)
		kept += len(post)
	}
	whole = whole || kept == len(ledger)
	if len(ledger) < acknowledged {
		t.Fatalf("%s: %d entries were acknowledged, %d are there", what, acknowledged, len(ledger))
	}
	if !whole {
		t.Fatalf("%s: part of a post was kept: %d entries", what, len(ledger))
	}
	sameLedger(t, what, ledger, p.ledger[:len(ledger)])
	if len(ledger) < len(p.ledger) {
		next := p.ledger[len(ledger) : len(ledger)+1]
		if err := s.Append(ctx, game, next); err != nil {
			t.Fatalf("%s: the game does not go on: %v", what, err)
		}
	}
}

// sameLedger compares byte for byte: the fold of the same bytes is the same game.
func sameLedger(t *testing.T, what string, got, want []entry.Entry) {
	t.Helper()
	for i := range got {
		a, errA := got[i].MarshalJSON()
		b, errB := want[i].MarshalJSON()
		if err := errors.Join(errA, errB); err != nil || !bytes.Equal(a, b) {
			t.Fatalf("%s: entry %d is\n%s\nand was\n%s %v", what, i+1, a, b, err)
		}
	}
}

// each calls visit for crashes after some of the calls, or all when soaking.
func (p *played) each(step int, visit func(calls int)) {
	step = thin(step)
	for n := 0; n <= p.trace.Calls(); n += step {
		visit(n)
	}
	if p.trace.Calls()%step != 0 {
		visit(p.trace.Calls())
	}
}

// thin widens a step where time is short, and takes every one when soaking.
func thin(step int) int {
	switch {
	case soaking():
		return 1
	case raced || testing.Short():
		return 5*step + 1
	}
	return step
}

// S1: kill -9 at write 1, 2, 3... of a whole game. S5: a power cut there, with
// all that was not synced gone. S6: a torn write, and the first and the fourth of
// a group alone. S7: what was not synced in any order.
func TestCrashAtEveryWrite(t *testing.T) {
	p := play(t)
	t.Logf("%d posts, %d calls that change the disk", len(p.posts), p.trace.Calls())
	checked := 0
	p.each(29, func(n int) {
		p.check(t, fmt.Sprintf("killed after call %d", n), n, p.trace.Killed(n))
		p.check(t, fmt.Sprintf("power cut after call %d", n), n, p.trace.CutOff(n))
		p.check(t, fmt.Sprintf("writes 1 and 4 after call %d", n), n, p.trace.OneAndFour(n))
		checked += 3
		for seed := range uint64(2) {
			random := rand.New(rand.NewPCG(seed, uint64(n)))
			p.check(t, fmt.Sprintf("torn after call %d, seed %d", n, seed), n, p.trace.Torn(n, random))
			checked++
		}
	})
	t.Logf("%d crashes", checked)
}
