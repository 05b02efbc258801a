package rules_test

import (
	"slices"
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

// longGame is a full game with notes up to so many entries.
func longGame(tb testing.TB, count int) []entry.Entry {
	ledger := fullGame(tb)
	for len(ledger) < count {
		ledger = append(ledger, entry.Entry{
			ID: id26(len(ledger) + 1), Game: gameID, Seq: len(ledger) + 1, At: entry.At{Period: 3, Elapsed: entry.Clock(14, 55)},
			Seat: entry.Solo, Body: entry.Note{Text: "The ice is wet."},
		})
	}
	return chained(ledger)
}

// BenchmarkEditInALongGame folds on after one more entry in a game of 10,000: one at
// the end, which is usual, and those that reach further back.
func BenchmarkEditInALongGame(b *testing.B) {
	ledger := longGame(b, 10_000)
	before, err := rules.FoldAfter(nil, ledger)
	if err != nil {
		b.Fatal(err)
	}
	goal := ledger[slices.IndexFunc(ledger, func(e entry.Entry) bool { return e.Kind() == entry.KindGoal })]
	opened, _ := ledger[0].Body.(entry.GameOpened)
	late := entry.At{Period: 1, Elapsed: entry.Clock(3, 0)}
	for _, one := range []struct {
		name string
		at   entry.At
		of   string
		body entry.Body
	}{
		{"a note at the end", goal.At, "", entry.Note{Text: "The ice is dry."}},
		{"the newest note changed", goal.At, ledger[len(ledger)-1].ID, entry.Amended{To: entry.Note{Text: "The ice is dry."}}},
		{"the first goal struck", goal.At, goal.ID, entry.Struck{}},
		{"a goal entered late", late, "", entry.Goal{Side: entry.Home, Scorer: "10"}},
		{"a roster", goal.At, "", entry.RosterSet{Side: entry.Home, Team: opened.Home}},
	} {
		b.Run(one.name, func(b *testing.B) {
			more := append(slices.Clip(ledger), entry.Entry{
				ID: id26(20_000), Game: gameID, Seq: len(ledger) + 1, At: one.at, Seat: entry.Solo, Of: one.of, Body: one.body,
			})
			more = chained(more)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := rules.FoldAfter(before, more); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
