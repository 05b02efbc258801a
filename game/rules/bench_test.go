package rules_test

import (
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// fullGame is an invented game of 150 entries: three periods with the clock
// started and stopped, goals, calls of every kind, and a few amendments.
func fullGame(tb testing.TB) []entry.Entry {
	g := newGame(tb, "usah-youth")
	calls := [][]entry.Part{
		{entry.Minor}, {entry.Minor, entry.Minor}, {entry.Minor}, {entry.Major}, {entry.Minor, entry.Misconduct},
		{entry.Minor}, {entry.Minor},
	}
	n := 0
	for period := 1; period <= 3; period++ {
		g.begin(period)
		for i := 0; i < 15; i++ {
			from, to := entry.Clock(i, 10), entry.Clock(i, 55)
			g.post(entry.At{Period: period, Elapsed: from}, entry.ClockStarted{Elapsed: from})
			g.post(entry.At{Period: period, Elapsed: to}, entry.ClockStopped{Elapsed: to})
			at := entry.At{Period: period, Elapsed: to}
			side := entry.Sides[(i+period)%2]
			switch {
			case i%4 == 1:
				g.post(at, entry.Goal{Side: side, Scorer: jersey(10 + i%5), Assists: []entry.Jersey{jersey(17)}})
			case i%2 == 0:
				n++
				g.post(at, entry.Penalty{Side: side, Player: jersey(2 + n%9), Call: "tripping", Parts: calls[n%len(calls)]})
			}
		}
	}
	for len(g.ledger) < 150 {
		of := g.ledger[20+len(g.ledger)%7]
		for of.Kind() != entry.KindPenalty && of.Kind() != entry.KindGoal {
			of = g.ledger[of.Seq]
		}
		g.ledger = append(g.ledger, entry.Entry{
			ID: id26(len(g.ledger) + 1), Game: gameID, Seq: len(g.ledger) + 1, At: of.At, Seat: entry.Solo,
			Of: of.ID, Body: entry.Amended{To: of.Body},
		})
	}
	return g.ledger
}

// BenchmarkFold folds a full game of 150 entries.
func BenchmarkFold(b *testing.B) {
	ledger := fullGame(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := rules.Fold(ledger); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkConsider previews a goal in a full game: two folds and the sentence.
func BenchmarkConsider(b *testing.B) {
	ledger := fullGame(b)
	draft := entry.Entry{
		ID: id26(9999), Game: gameID, At: entry.At{Period: 3, Elapsed: entry.Clock(14, 58)}, Seat: entry.Solo,
		Body: entry.Goal{Side: entry.Home, Scorer: "10"},
	}
	b.ReportAllocs()
	for b.Loop() {
		if p := rules.Consider(ledger, []entry.Entry{draft}, 0); len(p.Refused) > 0 {
			b.Fatal(p.Refused)
		}
	}
}
