package bench

import (
	"slices"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

// S14: another computer takes a game over from a copy. The clock ran, and its
// time of day is another: the clock is doubted, the rest is as it was.
func TestRestoreOnAnotherComputer(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}})
		tb.post(entry.ClockStarted{})
		time.Sleep(40 * time.Second)
		tb.post(entry.Note{Text: "the last that was copied"})
		copied := slices.Clone(tb.ledger())
		tb.bench.Close()

		other := &table{t: t, log: memory.New(), clock: setBack{SteadyClock(), 7_200_000}}
		other.start()
		done, err := other.bench.Restore(t.Context(), copied, Taking{})
		if err != nil || done.Had != 0 || done.Added != len(copied) || done.Title.Home != "Kelp Bay" {
			t.Fatalf("%+v, %v", done, err)
		}
		s := other.state()
		if s.Clock.Running || s.Clock.Elapsed != 40_000 || s.Clock.Doubt == nil || len(s.Calls) != 1 {
			t.Errorf("the clock is %+v", s.Clock)
		}
		time.Sleep(time.Hour)
		if again := other.state(); again.Seq != s.Seq {
			t.Error("the program posted something")
		}
		if err := entry.VerifyChain(other.ledger()); err != nil {
			t.Error(err)
		}
		// The same copy again, and a shorter one, add nothing.
		for _, n := range []int{len(copied), 2} {
			if done, err := other.bench.Restore(t.Context(), copied[:n], Taking{}); err != nil || done.Added != 0 {
				t.Errorf("%d entries again: %+v, %v", n, done, err)
			}
		}
	})
}

// A bench that is ahead of a copy, or behind it, or went another way.
func TestRestoreReplacesNothing(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.Note{Text: "the same"})
		common := slices.Clone(tb.ledger())
		tb.post(entry.Goal{Side: entry.Home, Scorer: "7"})
		longer := slices.Clone(tb.ledger())

		other := &table{t: t, log: memory.New(), count: 100}
		other.start()
		watch := func() int { u, _ := other.bench.State(t.Context(), gameID); return u.State.Seq }
		if _, err := other.bench.Restore(t.Context(), common, Taking{}); err != nil {
			t.Fatal(err)
		}
		if done, err := other.bench.Restore(t.Context(), longer, Taking{Own: len(longer)}); err != nil || done.Had != 3 || done.Added != 1 || watch() != 4 {
			t.Errorf("a longer copy: %+v, %v", done, err)
		}
		other.post(entry.Goal{Side: entry.Visitors, Scorer: "9"})
		tb.post(entry.Note{Text: "another way"})
		if _, err := other.bench.Restore(t.Context(), tb.ledger(), Taking{}); !isKind(err, Conflict) || watch() != 5 {
			t.Errorf("a copy that went another way: %v", err)
		}
		for name, bad := range map[string][]entry.Entry{
			"nothing":           nil,
			"without the first": longer[1:],
			"with a hole":       append(slices.Clone(longer[:2]), longer[3]),
			"moved":             {longer[1], longer[0]},
			"changed": func() []entry.Entry {
				c := slices.Clone(longer)
				c[2].Body = entry.Note{Text: "changed"}
				return c
			}(),
		} {
			if _, err := other.bench.Restore(t.Context(), bad, Taking{}); !isKind(err, Refused) {
				t.Errorf("%s: %v", name, err)
			}
		}
		if watch() != 5 {
			t.Error("something was kept")
		}
	})
}
