package bench_test

import (
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
)

// What each seat posts is its work as docs/duties.md divides it (common
// practice, no source).
func TestEverySeatPostsItsWork(t *testing.T) {
	work := map[entry.Seat][]entry.Kind{
		entry.ClockSeat: {entry.KindClockStarted, entry.KindClockStopped, entry.KindClockSet, entry.KindStageBegun, entry.KindTimeOut},
		entry.BoxSeat:   {entry.KindSeated, entry.KindChoice, entry.KindNote},
		entry.BookSeat:  {entry.KindGoal, entry.KindPenalty, entry.KindGoalkeeper, entry.KindRosterConfirmed, entry.KindSigned},
		entry.ShotsSeat: {entry.KindShots, entry.KindGoalkeeper, entry.KindFaceOff},
		entry.VoiceSeat: {entry.KindAnnounced, entry.KindNote},
	}
	for seat, kinds := range work {
		for _, kind := range kinds {
			if !slices.Contains(bench.Seats(kind), seat) {
				t.Errorf("%s may not post %s", seat, kind)
			}
		}
	}
	for _, kind := range []entry.Kind{
		entry.KindGameOpened, entry.KindBenchSet, entry.KindCardSet, entry.KindSealed, entry.KindClockDoubted,
	} {
		if may := bench.Seats(kind); len(may) > 0 {
			t.Errorf("%v may post %s, which belongs to the bench itself", may, kind)
		}
	}
	for _, kind := range entry.Kinds {
		for _, seat := range bench.Seats(kind) {
			if seat == entry.Solo || seat == entry.Program {
				t.Errorf("%s is listed for %s, and is no device's seat", seat, kind)
			}
		}
	}
}
