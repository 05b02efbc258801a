package bench

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// device is somebody at a table who posts what a screen showed a moment ago.
type device struct {
	*table
	Poster
	saw int
}

func (tb *table) device(seat entry.Seat, name string) *device {
	return &device{table: tb, Poster: Poster{Seat: seat, Name: name}}
}

// looks takes over what the bench shows now.
func (d *device) looks() { d.saw = d.state().Seq }

// orders posts one order from what was seen last, and says what the bench said
// against it, if it did.
func (d *device) orders(body entry.Body, touched entry.Millis) string {
	d.t.Helper()
	draft := d.draft(body)
	draft.Wall = touched
	from := d.Poster
	from.Saw = d.saw
	_, err := d.bench.PostFrom(context.Background(), gameID, []entry.Entry{draft}, from)
	if err == nil {
		return ""
	}
	var p *Problem
	if !errors.As(err, &p) || len(p.Refused) != 1 {
		d.t.Fatalf("posting %T: %v", body, err)
	}
	return p.Refused[0].Say.Key
}

// press is the order that the one control of the clock gives: the opposite of
// what this device has seen.
func press(running bool) entry.Body {
	if running {
		return entry.ClockStopped{}
	}
	return entry.ClockStarted{}
}

// Two people answer one whistle: whoever is first, however far apart, and
// whether the second saw the first or not, the clock stands afterwards.
func TestTwoWhoStopAtOneWhistleStopIt(t *testing.T) {
	for _, bench := range []bool{true, false} {
		for apart := time.Duration(0); apart <= 2*time.Second; apart += 50 * time.Millisecond {
			for _, late := range []time.Duration{0, 20 * time.Millisecond, 300 * time.Millisecond, 5 * time.Second} {
				inBubble(t, func(t *testing.T, tb *table) {
					first, second := tb.device("", ""), tb.device(entry.ClockSeat, "Phone")
					if !bench {
						first, second = second, first
					}
					tb.post(period(1, 15), entry.ClockStarted{})
					time.Sleep(20 * time.Second)
					first.looks()
					second.looks()
					whistle := tb.bench.Now()
					if said := first.orders(press(true), whistle); said != "" {
						t.Fatal(said)
					}
					// The news of it takes as long to the second device as its press takes back.
					time.Sleep(min(late, apart))
					running := true
					if late < apart {
						second.looks()
						running = false
					}
					time.Sleep(max(0, apart-late))
					said := second.orders(press(running), whistle+entry.Millis(apart.Milliseconds()))
					clock := tb.state().Clock
					if clock.Running || clock.Elapsed != 20_000 {
						t.Fatalf("%v apart, %v late, bench first %v: running %v at %v", apart, late, bench, clock.Running, clock.Elapsed)
					}
					if want := map[bool]string{true: "", false: "bench.crossed.clock_stands"}[running]; said != want {
						t.Errorf("%v apart, %v late: said %q, want %q", apart, late, said, want)
					}
					// And play goes on by one press of either.
					time.Sleep(10 * time.Second)
					second.looks()
					if said := second.orders(press(false), tb.bench.Now()); said != "" || !tb.state().Clock.Running {
						t.Errorf("starting again: %q", said)
					}
				})
			}
		}
	}
}

// A stop right after somebody else's start is a whistle, unless it can only be
// the second press at one face-off.
func TestTwoWhoStartAtOneFaceOffStartIt(t *testing.T) {
	for apart, want := range map[entry.Millis]string{100: "bench.crossed.clock_runs", 900: "bench.crossed.clock_runs", 1100: ""} {
		inBubble(t, func(t *testing.T, tb *table) {
			phone := tb.device(entry.ClockSeat, "Phone")
			tb.post(period(1, 15), entry.ClockStarted{})
			drop := tb.bench.Now()
			phone.looks()
			time.Sleep(time.Duration(apart) * time.Millisecond)
			if said := phone.orders(entry.ClockStopped{}, drop+apart); said != want {
				t.Errorf("after %v ms: %q, want %q", int(apart), said, want)
			}
		})
	}
}

// Whoever holds the clock alone is never in doubt: own presses follow one
// another as fast as they come, also when they arrive together after a while.
func TestOwnPressesAreObeyed(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		phone := tb.device(entry.ClockSeat, "Phone")
		tb.post(period(1, 15))
		time.Sleep(5 * time.Second)
		phone.looks()
		start := tb.bench.Now()
		time.Sleep(time.Minute)
		for i, running := range []bool{false, true, false, true} {
			if said := phone.orders(press(running), start+entry.Millis(300*i)); said != "" {
				t.Fatalf("press %d: %s", i, said)
			}
		}
		if clock := tb.state().Clock; clock.Running || clock.Elapsed != 600 {
			t.Errorf("the clock runs %v at %v", clock.Running, clock.Elapsed)
		}
	})
}

// What a device had not seen is not undone by it, however late it comes.
func TestOrdersAgainstWhatWasNotSeen(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		phone := tb.device(entry.ClockSeat, "Phone")
		tb.post(period(1, 15), entry.ClockStarted{})
		phone.looks()
		time.Sleep(30 * time.Second)
		touched := tb.bench.Now()
		time.Sleep(time.Minute)
		tb.post(entry.ClockStopped{})
		time.Sleep(30 * time.Second)
		tb.post(entry.ClockStarted{})
		time.Sleep(time.Second)
		if said := phone.orders(entry.ClockStopped{}, touched); said != "bench.crossed.clock_runs" {
			t.Errorf("a stop from before two presses: %q", said)
		}
		if !tb.state().Clock.Running {
			t.Error("the clock was stopped by it")
		}
		tb.post(entry.ClockStopped{})
		tb.post(entry.StageBegun{Stage: entry.Stage{Kind: entry.Intermission, Number: 1}, Length: 60_000})
		if said := phone.orders(entry.ClockStarted{}, tb.bench.Now()); said != "bench.crossed.other_clock" {
			t.Errorf("a start meant for the period before: %q", said)
		}
	})
}

// The same for everything that has one position at a time.
func TestOppositeOrdersOfOneMoment(t *testing.T) {
	for _, test := range []struct {
		seat        entry.Seat
		one, other  entry.Body
		says        string
		holds, then func(tb *table) bool
	}{
		{entry.ClockSeat, entry.RunningTime{On: true}, entry.RunningTime{On: false}, "bench.crossed.running_time",
			func(tb *table) bool { return tb.state().Bench.RunningTime }, func(tb *table) bool { return !tb.state().Bench.RunningTime }},
		{entry.ShotsSeat, entry.Goalkeeper{Side: entry.Home}, entry.Goalkeeper{Side: entry.Home, Number: "12"}, "bench.crossed.net",
			func(tb *table) bool { return tb.state().Teams[0].NetEmpty }, func(tb *table) bool { return !tb.state().Teams[0].NetEmpty }},
		{entry.BoxSeat, entry.Seated{Side: entry.Home, Player: "7", In: true}, entry.Seated{Side: entry.Home, Player: "7"}, "bench.crossed.gate",
			func(tb *table) bool { return tb.newest().Seat == entry.Solo }, func(tb *table) bool { return tb.newest().Seat == entry.BoxSeat }},
		{entry.ClockSeat, entry.Delay{Why: entry.Ice}, entry.DelayOver{}, "bench.crossed.delay",
			func(tb *table) bool { return tb.state().Delay != nil }, func(tb *table) bool { return tb.state().Delay == nil }},
		{entry.ClockSeat, period(1, 12), period(2, 12), "bench.crossed.stage",
			func(tb *table) bool { return tb.state().Stage.Number == 1 }, func(tb *table) bool { return tb.state().Stage.Number == 2 }},
	} {
		inBubble(t, func(t *testing.T, tb *table) {
			if !strings.HasSuffix(test.says, "stage") {
				tb.post(period(1, 15))
			}
			time.Sleep(10 * time.Second)
			phone := tb.device(test.seat, "Phone")
			tb.post(test.one)
			phone.looks()
			time.Sleep(400 * time.Millisecond)
			if said := phone.orders(test.other, tb.bench.Now()); said != test.says || !test.holds(tb) {
				t.Errorf("%T at once: %q", test.other, said)
			}
			time.Sleep(5 * time.Second)
			if said := phone.orders(test.other, tb.bench.Now()); said != "" || !test.then(tb) {
				t.Errorf("%T later: %q", test.other, said)
			}
		})
	}
}
