package bench

import (
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
)

// Where a draft that leaves its moment open is put.
func TestMoments(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		at := func(name string, want entry.At) {
			t.Helper()
			if got := tb.newest().At; got != want {
				t.Errorf("%s: at %+v, want %+v", name, got, want)
			}
		}
		note := entry.Note{Text: "here"}
		tb.post(note)
		at("before the game", entry.At{})
		tb.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.WarmUp}, Length: entry.Clock(5, 0), Running: true})
		at("warm-up", entry.At{})
		time.Sleep(10 * time.Minute)
		synctest.Wait()
		at("the end of the warm-up", entry.At{})

		tb.post(period(1, 12))
		at("a period begins", entry.At{Period: 1})
		tb.post(entry.ClockStarted{})
		at("a start", entry.At{Period: 1})
		time.Sleep(70 * time.Second)
		tb.post(note)
		at("while the clock runs", entry.At{Period: 1, Elapsed: 70_000})
		tb.post(entry.ClockStopped{}, entry.Goal{Side: entry.Home, Scorer: "7"})
		at("after a stop of the same post", entry.At{Period: 1, Elapsed: 70_000})
		goal := tb.newest()
		tb.post(entry.ClockSet{Elapsed: 72_500})
		at("the clock put right", entry.At{Period: 1, Elapsed: 72_500})

		amend := tb.draft(entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "12"}})
		amend.Of = goal.ID
		tb.send(amend)
		at("an amendment that says no moment", goal.At)
		moved := tb.draft(entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "12"}})
		moved.Of, moved.At = goal.ID, entry.At{Period: 1, Elapsed: 69_000, Order: 2}
		tb.send(moved)
		at("an amendment that says one", moved.At)
		again := tb.draft(entry.Amended{To: entry.Goal{Side: entry.Home, Scorer: "7"}})
		again.Of = goal.ID
		tb.send(again)
		at("the next amendment keeps it", entry.At{Period: 1, Elapsed: 69_000, Order: 2})

		said := tb.draft(entry.Goal{Side: entry.Visitors, Scorer: "9"})
		said.At = entry.At{Period: 1, Elapsed: 30_000}
		tb.send(said)
		at("an entry that says its moment", said.At)

		tb.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: entry.Clock(1, 0), Running: true})
		at("an intermission before the period ran out", entry.At{Period: 1, Elapsed: 72_500})
		time.Sleep(30 * time.Second)
		tb.post(note)
		at("in the intermission", entry.At{Period: 1, Elapsed: 72_500})
		tb.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Overtime, Number: 1}, Length: entry.Clock(5, 0)})
		at("overtime", entry.At{Period: 4})
		tb.post(entry.ClockStarted{})
		time.Sleep(9 * time.Second)
		tb.post(entry.ClockStopped{}, entry.TimeOut{Length: entry.Clock(0, 30)})
		at("a time-out", entry.At{Period: 4, Elapsed: 9_000})
	})
}
