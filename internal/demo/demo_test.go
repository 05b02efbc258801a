package demo

import (
	"context"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/store/memory"
)

const now = entry.Millis(1_768_068_000_000) // 2026-01-10 18:00:00 UTC

// absolute is the moment of play at which a stopped game stands.
func absolute(s rules.State) entry.Millis {
	for _, p := range s.Periods {
		if p.Stage == s.Stage {
			return p.Abs + s.Clock.Elapsed
		}
	}
	return 0
}

func TestMoments(t *testing.T) {
	for _, test := range []struct {
		moment  string
		stage   entry.Stage
		clock   entry.Millis
		score   [2]int
		skaters [2]int
		running int // terms that are being served
		least   int // entries
	}{
		{"warm-up", entry.Stage{Kind: entry.Setup}, 0, [2]int{}, [2]int{5, 5}, 0, 1},
		{"power-play", entry.Stage{Kind: entry.Period, Number: 1}, entry.Clock(7, 31), [2]int{1, 1}, [2]int{5, 4}, 1, 10},
		{"coincidental", entry.Stage{Kind: entry.Period, Number: 2}, entry.Clock(5, 2), [2]int{2, 2}, [2]int{5, 4}, 3, 30},
		{"third-period", entry.Stage{Kind: entry.Period, Number: 3}, entry.Clock(0, 27), [2]int{3, 2}, [2]int{4, 4}, 2, 40},
		{"overtime", entry.Stage{Kind: entry.Overtime, Number: 1}, entry.Clock(1, 36), [2]int{3, 3}, [2]int{3, 4}, 1, 50},
	} {
		t.Run(test.moment, func(t *testing.T) {
			ledger, err := Ledger(test.moment, now)
			if err != nil {
				t.Fatal(err)
			}
			if err := entry.VerifyChain(ledger); err != nil {
				t.Fatal(err)
			}
			s, err := rules.Fold(ledger)
			if err != nil {
				t.Fatal(err)
			}
			at := absolute(s)
			if s.Stage != test.stage || s.Clock.Elapsed != test.clock || s.Clock.Running {
				t.Errorf("%+v, clock %+v", s.Stage, s.Clock)
			}
			if score := [2]int{s.Teams[0].Score, s.Teams[1].Score}; score != test.score {
				t.Errorf("score %v, want %v", score, test.score)
			}
			var skaters [2]int
			for _, step := range s.Strength {
				if step.From.Abs <= at {
					skaters = step.Skaters
				}
			}
			if skaters != test.skaters {
				t.Errorf("skaters %v, want %v", skaters, test.skaters)
			}
			running := 0
			for _, term := range s.Terms {
				if term.Ended == rules.ByTime && term.Start.Abs <= at && term.End.Abs > at {
					running++
				}
			}
			if running != test.running {
				t.Errorf("%d terms run, want %d", running, test.running)
			}
			if len(s.Owed) != 0 || len(ledger) < test.least {
				t.Errorf("%d entries, owed %v", len(ledger), s.Owed)
			}
			if last := ledger[len(ledger)-1].Wall; last != now-sinceLast {
				t.Errorf("the newest entry is of %d, want %d", last, now-sinceLast)
			}
			for i := 1; i < len(ledger); i++ {
				if ledger[i].Wall < ledger[i-1].Wall {
					t.Errorf("entry %d is older than the one before it", i+1)
				}
			}
			log := memory.New()
			if err := log.Append(context.Background(), ledger[0].Game, ledger); err != nil {
				t.Error(err)
			}
		})
	}
	if len(Moments()) != 5 {
		t.Errorf("the moments are %v", Moments())
	}
}

func TestUnknownMoment(t *testing.T) {
	if _, err := Ledger("half-time", now); err == nil {
		t.Error("a moment that is not there was played")
	}
}

func TestRosters(t *testing.T) {
	for _, team := range []entry.Team{kelpBay, lanternside} {
		keepers, captains, alternates := 0, 0, 0
		for _, p := range team.Players {
			if p.Goalkeeper {
				keepers++
			}
			if p.Captain {
				captains++
			}
			if p.Alternate {
				alternates++
			}
		}
		if n := len(team.Players); n < 15 || n > 17 || keepers != 2 || captains != 1 || alternates != 2 {
			t.Errorf("%s: %d players, %d goalkeepers, %d captains, %d alternates", team.Name, n, keepers, captains, alternates)
		}
	}
}
