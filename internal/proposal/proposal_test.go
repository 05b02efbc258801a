package proposal_test

import (
	"context"
	"errors"
	"log/slog"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/proposal"
)

// full is a file that cannot be written.
type full struct{ file }

func (*full) Write([]byte) error { return errors.New("no room") }

// What was declined is not asked about again, not by the next start either; a copy that
// somebody sends again is. A decision that could not be kept is asked for once more.
func TestWhatWasDeclinedIsRemembered(t *testing.T) {
	ledger, err := demo.Ledger("power-play", 1_770_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	one := proposal.Proposal{File: "stick/game.jsonl", Here: len(ledger) - 1, Ledger: ledger}
	asides := 0
	start := func(f proposal.File) *proposal.Proposals {
		return proposal.New(proposal.Config{Declined: f, Logger: slog.New(slog.DiscardHandler), Aside: func(p proposal.Proposal, mark string) string {
			asides++
			return mark + " aside"
		}})
	}

	broken := start(&full{})
	broken.Add(one)
	var problem *bench.Problem
	if _, err := broken.Decide(context.Background(), broken.List()[0].ID, false); !errors.As(err, &problem) || problem.Kind != bench.Unavailable {
		t.Errorf("a decision that cannot be kept: %v", err)
	}
	if len(broken.List()) != 1 || asides != 0 {
		t.Errorf("%d wait, %d copies were put aside", len(broken.List()), asides)
	}

	kept := &file{}
	first := start(kept)
	if !first.Add(one) || first.Add(one) {
		t.Error("one proposal waits twice, or not at all")
	}
	id := first.List()[0].ID
	if done, err := first.Decide(context.Background(), id, false); err != nil || done.Aside != id[:8]+" aside" || asides != 1 {
		t.Errorf("%+v %v", done, err)
	}
	if _, err := first.Decide(context.Background(), id, true); !errors.As(err, &problem) || problem.Kind != bench.Missing {
		t.Errorf("a decision about what does not wait: %v", err)
	}
	second := start(kept)
	if second.Add(one) {
		t.Error("what was declined is asked about after a restart")
	}
	second.Propose(one.Ledger, one.Here)
	if len(second.List()) != 1 {
		t.Error("a copy that was sent again is not asked about")
	}
}

// Nothing that follows a sealed report is ever taken.
func TestWhatFollowsASealIsSaid(t *testing.T) {
	ledger, err := demo.Ledger("power-play", 1_770_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	open := proposal.Proposal{Here: len(ledger) - 1, Ledger: ledger}
	claimed := ledger[len(ledger)-2]
	claimed.Body = entry.Sealed{}
	forged := proposal.Proposal{Here: len(ledger) - 1, Ledger: append(append([]entry.Entry{}, ledger[:len(ledger)-2]...), claimed, ledger[len(ledger)-1])}
	if open.AfterSeal() || forged.AfterSeal() {
		t.Error("a game without a seal that holds counts as sealed")
	}
}
