package hubsim

import (
	"bytes"
	"context"
	"io"

	"whistlestop/internal/hub/ledgers"
)

func bodyOf(raw []byte) io.Reader { return bytes.NewReader(raw) }

// look holds what the hub has against what was acknowledged.
func (w *world) look(when string) {
	for game, taken := range w.taken {
		there := w.kept(game, when)
		for hash := range taken {
			if !there[hash] {
				w.wrong("%s: an entry of game %s that was acknowledged is lost", when, game)
				break
			}
		}
	}
}

// kept is the hashes of all lines of a game, in the ledger and beside it. Each branch
// must be a ledger together with what stands before it.
func (w *world) kept(game, when string) map[string]bool {
	ctx, at := context.Background(), w.where(game)
	there := map[string]bool{}
	lines, err := w.store.Lines(ctx, at, 0, 10_000)
	if err != nil {
		w.t.Fatal(err)
	}
	w.chain(lines, there, game, when)
	head, err := w.store.Head(ctx, at)
	if err != nil || head.Seq != len(lines) || len(lines) > 0 && head.Hash != lines[len(lines)-1].Hash {
		w.wrong("%s: game %s has %d lines, and its head says %+v, %v", when, game, len(lines), head, err)
	}
	branches, err := w.store.Branches(ctx, at)
	if err != nil {
		w.t.Fatal(err)
	}
	open := false
	for _, b := range branches {
		open = open || !b.Decided
		beside, err := w.store.BranchLines(ctx, at, b.Number)
		if err != nil {
			w.t.Fatal(err)
		}
		w.chain(append(lines[:b.Base-1:b.Base-1], beside...), there, game, when)
	}
	if open != head.Forked {
		w.wrong("%s: game %s is said to be forked: %v; a fork waits: %v", when, game, head.Forked, open)
	}
	return there
}

func (w *world) chain(lines []ledgers.Line, there map[string]bool, game, when string) {
	if len(lines) == 0 {
		return
	}
	for _, line := range lines {
		there[line.Hash] = true
	}
	if _, err := ledgers.Entries(lines); err != nil {
		w.wrong("%s: a chain of game %s does not hold: %v", when, game, err)
	}
}

// end mends the network and lets everybody send the rest. Everything that a bench which
// was not fenced off has is at the hub then.
func (w *world) end() {
	w.healed, w.cuts = true, 0
	w.cut()
	w.shape.look(w)
	all := append(w.benches, w.crowd...)
	for range 2 {
		for _, b := range all {
			w.now += 10_000
			w.send(b)
		}
	}
	w.shape.settle(w)
	w.look("at the end")
	for _, b := range all {
		if b.fenced {
			continue
		}
		there := w.kept(b.game, "at the end")
		for _, e := range b.ledger {
			hash, err := e.Hash()
			if err != nil {
				w.t.Fatal(err)
			}
			if !there[hash] {
				w.wrong("entry %d of game %s never came", e.Seq, b.game)
				break
			}
		}
	}
}
