package tally_test

import (
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"testing"

	"whistlestop/season/league"
	"whistlestop/season/results"
)

// A season of 1,300 games in one division: the table with every tie explained, and one
// more game with the table, who owes what, and who is out of the next game.
func BenchmarkSeason(b *testing.B) {
	l, games := body(b, 1, 26, 4, "nhl-2019")
	if len(games) != 1300 {
		b.Fatal(len(games))
	}
	random := rand.New(rand.NewPCG(1, 1))
	reports := make([]results.Facts, len(games))
	t := start(b, l, games, league.Decisions{})
	for i, g := range games {
		reports[i] = report(random, l, g, 15)
		t.Put(reports[i])
	}
	season(b, t)
	b.Run("table", func(b *testing.B) {
		for b.Loop() {
			if d, known := t.Table("d0"); !known || len(d.Places) != 26 {
				b.Fatal("no table")
			}
		}
	})
	b.Run("one more game", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			t.Put(reports[i%len(reports)])
			t.Table("d0")
			if _, err := t.Out(games[(i+1)%len(games)].ID); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("whole value", func(b *testing.B) {
		for b.Loop() {
			season(b, t)
		}
	})
	b.Run("from nothing", func(b *testing.B) {
		for b.Loop() {
			t := start(b, l, games, league.Decisions{})
			for _, f := range reports {
				t.Put(f)
			}
			season(b, t)
		}
	})
}

// A national body of 104,000 games, on one core and within 1 GB: standings,
// suspensions and figures. The reports are made on the way, as they would be read.
func BenchmarkNationalBody(b *testing.B) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	defer debug.SetGCPercent(debug.SetGCPercent(25)) // room before speed
	l, games := body(b, 80, 26, 4, "usah-nationals")
	for b.Loop() {
		random := rand.New(rand.NewPCG(1, 1))
		t := start(b, l, games, league.Decisions{})
		for _, g := range games {
			t.Put(report(random, l, g, 15))
		}
		s := season(b, t)
		if len(s.Divisions) != 80 || len(s.Skaters) == 0 || len(s.Suspensions) == 0 {
			b.Fatal("something is missing")
		}
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		b.ReportMetric(float64(m.HeapAlloc)/(1<<20), "MB-alive")
		b.ReportMetric(float64(len(games)), "games")
		b.ReportMetric(float64(m.Sys)/(1<<20), "MB-of-the-system")
		runtime.KeepAlive(t)
	}
}
