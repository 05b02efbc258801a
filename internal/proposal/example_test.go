package proposal_test

import (
	"context"
	"fmt"
	"log/slog"

	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
	"whistlestop/internal/proposal"
	"whistlestop/internal/store/memory"
)

// file is a content in memory.
type file struct{ content []byte }

func (f *file) Read() ([]byte, error) { return f.content, nil }

func (f *file) Write(content []byte) error {
	f.content = content
	return nil
}

func Example() {
	ledger, err := demo.Ledger("power-play", 1_770_000_000_000)
	if err != nil {
		fmt.Println(err)
		return
	}
	games, known := memory.New(), len(ledger)-2
	if err := games.Append(context.Background(), ledger[0].Game, ledger[:known]); err != nil {
		fmt.Println(err)
		return
	}
	live := bench.New(games, bench.SteadyClock(), bench.ULIDs(), slog.New(slog.DiscardHandler))
	defer live.Close()
	waiting := proposal.New(proposal.Config{Declined: &file{}, Logger: slog.New(slog.DiscardHandler)})
	waiting.Over(live)

	waiting.Add(proposal.Proposal{Here: known, Ledger: ledger})
	one := waiting.List()[0]
	fmt.Println(one.Here == known, one.Count)
	done, err := waiting.Decide(context.Background(), one.ID, true)
	fmt.Println(done.Added >= 2, err, len(waiting.List()))
	// Output:
	// true 2
	// true <nil> 0
}
