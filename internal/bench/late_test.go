package bench

import (
	"testing"
	"time"

	"whistlestop/game/entry"
)

// What was entered out of reach counts at the time at which it was entered: in
// the period that was played then, and against whoever kept goal then.
func TestEntriesFromOutOfReachCountWhenTheyWereEntered(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15), entry.Goalkeeper{Side: entry.Visitors, Number: "9"}, entry.ClockStarted{})
		time.Sleep(time.Minute)
		shot := tb.draft(entry.Shots{Side: entry.Home, Count: 1})
		goal := tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})
		seated := tb.draft(entry.Seated{Side: entry.Home, Player: "12", In: true})
		time.Sleep(time.Minute)
		tb.post(entry.ClockStopped{})
		time.Sleep(time.Minute)
		between := tb.draft(entry.Shots{Side: entry.Home, Count: 1})
		tb.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: 60_000, Running: true})
		time.Sleep(2 * time.Minute)
		tb.post(period(2, 15), entry.Goalkeeper{Side: entry.Visitors, Number: "4"}, entry.ClockStarted{})
		time.Sleep(3 * time.Minute)
		late := tb.draft(entry.Shots{Side: entry.Home, Count: 1})
		tb.send(shot, goal, seated, between, late)
		ledger := tb.ledger()
		want := []entry.At{{Period: 1, Elapsed: 60_000}, {Period: 1, Elapsed: 60_000}, {Period: 1, Elapsed: 60_000}, {Period: 1, Elapsed: 120_000}, {Period: 2, Elapsed: 180_000}}
		for i, at := range want {
			if got := ledger[len(ledger)-len(want)+i].At; got != at {
				t.Errorf("entry %d is booked at %+v, want %+v", i, got, at)
			}
		}
		keepers := map[string]int{}
		for _, s := range tb.state().Book.Shots {
			keepers[string(s.Goalkeeper)] += s.Count
		}
		if keepers["9"] != 2 || keepers["4"] != 1 {
			t.Errorf("shots by goalkeeper: %v", keepers)
		}
	})
}
