//go:build unix

package rules_test

import (
	"runtime"
	"runtime/debug"
	"syscall"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// TestNoLedgerIsSlow: whatever 400 entries are posted, folding them takes no more
// than so many times the work of a full game of 150 entries, in time of this
// process alone. The hardest that were found take twelve times a full game on a
// quiet machine, 3.7 milliseconds; twice that is left for a busy one. A fold that
// lists every choice takes thousands of times.
func TestNoLedgerIsSlow(t *testing.T) {
	const most = 24
	if raced {
		t.Skip("the race detector slows each kind of work by another factor")
	}
	reference := fullGame(t)
	rapid.Check(t, func(t *rapid.T) {
		ledger := drawCrowd(t)
		for try := 1; ; try++ {
			ratio := float64(quickest(t, ledger)) / float64(quickest(t, reference))
			if ratio <= most {
				return
			}
			if try == 5 { // a collection of garbage can fall into one
				t.Fatalf("%d entries take %.1f times a full game", len(ledger), ratio)
			}
		}
	})
}

// quickest is the least of a few folds, in microseconds of this process. Garbage is
// collected between them: when it falls into one says nothing of the ledger.
func quickest(t *rapid.T, ledger []entry.Entry) int64 {
	defer debug.SetGCPercent(debug.SetGCPercent(-1))
	best := int64(1 << 60)
	for range 4 {
		runtime.GC()
		start := spent()
		for range 3 {
			if _, err := rules.Fold(ledger); err != nil {
				t.Fatal(err)
			}
		}
		best = min(best, spent()-start)
	}
	return max(1, best)
}

// spent is the time that this process has had a processor.
func spent() int64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return (int64(u.Utime.Sec)+int64(u.Stime.Sec))*1_000_000 + int64(u.Utime.Usec) + int64(u.Stime.Usec)
}

// drawCrowd draws 400 entries that are hard on the fold: many calls at few
// stoppages, of few or many players, and long chains of amendments and strikes.
func drawCrowd(t *rapid.T) []entry.Entry {
	g := newGame(nilTB{}, rapid.SampledFrom(storyCodes).Draw(t, "code"))
	g.begin(1)
	stoppages := rapid.SampledFrom([]int{1, 2, 5, 20, 200}).Draw(t, "stoppages")
	players := rapid.SampledFrom([]int{1, 3, 12, 60}).Draw(t, "players")
	changes := rapid.SampledFrom([]int{0, 0, 1, 3, 9}).Draw(t, "changes of ten")
	chained := rapid.Bool().Draw(t, "chained")
	var ids []string
	for n := 0; len(g.ledger) < 400; n++ {
		when := at(1, 0, 5*(n*stoppages/400))
		if len(ids) > 0 && n%10 < changes {
			of := ids[(n*7)%len(ids)]
			if chained {
				of = ids[len(ids)-1]
			}
			body := entry.Body(entry.Struck{})
			if rapid.Bool().Draw(t, "amend") {
				body = entry.Amended{To: entry.Penalty{Side: entry.Home, Player: "6", Call: "hooking", Parts: []entry.Part{entry.Minor}}}
			}
			ids = append(ids, g.of(of, when, body))
			continue
		}
		if rapid.IntRange(0, 9).Draw(t, "goal") == 0 {
			ids = append(ids, g.post(when, entry.Goal{Side: rapid.SampledFrom(entry.Sides[:]).Draw(t, "scorers")}))
			continue
		}
		ids = append(ids, g.post(when, entry.Penalty{
			Side: rapid.SampledFrom(entry.Sides[:]).Draw(t, "side"), Player: jersey(2 + n%players), Call: "roughing",
			Parts: rapid.SampledFrom(storyParts[:12]).Draw(t, "parts"), Signalled: rapid.Bool().Draw(t, "signalled"),
		}))
	}
	return g.ledger
}
