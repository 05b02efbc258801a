package bench

import (
	"context"
	"errors"
	"log/slog"
	"slices"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

const (
	otherID = "01JD0000000000000000000777"
	year    = 365 * 24 * time.Hour
)

// dated is the ledger of another game, played on a computer whose time of day was
// ahead of this one's. Its clock runs where runs says so.
func dated(t *testing.T, ahead time.Duration, runs bool) []entry.Entry {
	t.Helper()
	other := &table{t: t, log: memory.New(), clock: setBack{SteadyClock(), -entry.Millis(ahead.Milliseconds())}, count: 500}
	other.start()
	o := opening(t)
	o.ID = otherID
	if _, err := other.bench.Open(t.Context(), o); err != nil {
		t.Fatal(err)
	}
	bodies := []entry.Body{period(1, 15), entry.ClockStarted{}}
	if !runs {
		bodies = append(bodies, entry.ClockStopped{})
	}
	for _, body := range bodies {
		d := other.draft(body)
		d.Game = otherID
		if _, err := other.bench.Post(t.Context(), otherID, []entry.Entry{d}); err != nil {
			t.Fatal(err)
		}
	}
	ledger, err := other.bench.Ledger(t.Context(), otherID)
	if err != nil {
		t.Fatal(err)
	}
	other.bench.Close()
	return slices.Clone(ledger)
}

// T5: whatever is asked about a game of another day, the game that is played does
// not notice: its clock, its state and the bench's time go on as they were.
func TestT5_AGameOfAnotherDayTouchesNoOther(t *testing.T) {
	ask := map[string]func(b *Bench, ctx context.Context, ledger []entry.Entry) error{
		"state": func(b *Bench, ctx context.Context, _ []entry.Entry) error {
			_, err := b.State(ctx, otherID)
			return err
		},
		"watch": func(b *Bench, ctx context.Context, _ []entry.Entry) error {
			w, err := b.Watch(ctx, otherID)
			if err == nil {
				w.Close()
			}
			return err
		},
		"ledger": func(b *Bench, ctx context.Context, _ []entry.Entry) error {
			_, err := b.Ledger(ctx, otherID)
			return err
		},
		"list": func(b *Bench, ctx context.Context, _ []entry.Entry) error {
			_, err := b.Games(ctx)
			return err
		},
		"restore": func(b *Bench, ctx context.Context, ledger []entry.Entry) error {
			_, err := b.Restore(ctx, ledger, Taking{Decided: true})
			return err
		},
	}
	for what, do := range ask {
		for _, ahead := range []time.Duration{-year, -time.Hour, 3 * time.Second, time.Hour, year} {
			for _, runs := range []bool{false, true} {
				inBubble(t, func(t *testing.T, tb *table) {
					ledger := dated(t, ahead, runs)
					if what != "restore" {
						if err := tb.log.Append(t.Context(), otherID, ledger); err != nil {
							t.Fatal(err)
						}
					}
					tb.post(period(1, 15))
					tb.post(entry.Penalty{Side: entry.Home, Player: "7", Call: "tripping", Parts: []entry.Part{entry.Minor}})
					tb.post(entry.ClockStarted{})
					time.Sleep(20 * time.Second)
					before, now := tb.state(), tb.bench.Now()
					if err := do(tb.bench, t.Context(), ledger); err != nil {
						t.Fatalf("%s of a game %v ahead: %v", what, ahead, err)
					}
					after := tb.state()
					if after.Seq != before.Seq || after.Clock != before.Clock || tb.bench.Now() != now {
						t.Errorf("%s of a game %v ahead: the clock was %+v and is %+v, the time went on by %d ms",
							what, ahead, before.Clock, after.Clock, tb.bench.Now()-now)
					}
					time.Sleep(10 * time.Second)
					if c := tb.post(entry.ClockStopped{}).State.Clock; c.Elapsed != 30_000 {
						t.Errorf("%s of a game %v ahead: 30 s were played and the clock shows %s", what, ahead, c.Elapsed)
					}
				})
			}
		}
	}
}

// A ledger that cannot be read, or is none at all, is in nobody's way.
func TestT5_ADamagedGameTouchesNoOther(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		tb.bench.Close()
		tb.log = spoiltLog{tb.log}
		tb.start()
		if _, err := tb.bench.State(t.Context(), otherID); !isKind(err, Unavailable) {
			t.Errorf("a damaged game: %v", err)
		}
		time.Sleep(20 * time.Second)
		titles, err := tb.bench.Games(t.Context())
		if err != nil || len(titles) != 2 {
			t.Errorf("%+v, %v", titles, err)
		}
		if c := tb.post(entry.ClockStopped{}).State.Clock; c.Elapsed != 20_000 {
			t.Errorf("20 s were played and the clock shows %s", c.Elapsed)
		}
	})
}

// spoiltLog holds one game that cannot be read.
type spoiltLog struct{ Log }

func (l spoiltLog) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	if game == otherID {
		return nil, errors.New("damaged")
	}
	return l.Log.Load(ctx, game)
}

func (l spoiltLog) Games(ctx context.Context) ([]string, error) {
	games, err := l.Log.Games(ctx)
	return append(games, otherID), err
}

// A game that was dated ahead can be played on: its clock counts from now, and
// what was entered keeps its order.
func TestAGameThatWasDatedAheadIsPlayedOn(t *testing.T) {
	for _, ahead := range []time.Duration{3 * time.Second, time.Hour, year} {
		inBubble(t, func(t *testing.T, tb *table) {
			tb.bench.Close()
			log := memory.New()
			if err := log.Append(t.Context(), otherID, dated(t, ahead, true)); err != nil {
				t.Fatal(err)
			}
			b := New(log, SteadyClock(), ULIDs(), slog.New(slog.DiscardHandler))
			t.Cleanup(b.Close)
			u, err := b.State(t.Context(), otherID)
			if err != nil {
				t.Fatal(err)
			}
			if c := u.State.Clock; c.Running || c.Doubt == nil || c.Doubt.Why != entry.NotYet || c.Elapsed != 0 || c.Wall > b.Now() {
				t.Errorf("%v ahead: the clock is %+v", ahead, c)
			}
			tb.bench = b
			post := func(body entry.Body) Reply {
				d := tb.draft(body)
				d.Game = otherID
				reply, err := b.Post(t.Context(), otherID, []entry.Entry{d})
				if err != nil {
					t.Fatalf("%v ahead: %v %+v", ahead, err, refusals(err))
				}
				return reply
			}
			post(entry.ClockSet{Elapsed: 5000})
			post(entry.ClockStarted{})
			time.Sleep(12 * time.Second)
			if c := post(entry.ClockStopped{}).State.Clock; c.Elapsed != 17_000 || c.Doubt != nil {
				t.Errorf("%v ahead: the clock is %+v", ahead, c)
			}
			time.Sleep(time.Hour)
			post(entry.ClockStarted{})
			time.Sleep(3 * time.Second)
			post(entry.Goal{Side: entry.Home, Scorer: "7"})
			if u, err = b.State(t.Context(), otherID); err != nil || u.State.Goals[0].Moment.Elapsed != 20_000 {
				t.Errorf("%v ahead: the goal is at %+v, %v", ahead, u.State.Goals[0].Moment, err)
			}
			if titles, err := b.Games(t.Context()); err != nil || titles[0].Ahead != 0 {
				t.Errorf("%v ahead: %+v, %v", ahead, titles, err)
			}
		})
	}
}

// The same where the clock stood when it was dated ahead: nothing is to be doubted.
func TestAClockThatStoodInTheFutureIsStarted(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		if _, err := tb.bench.Restore(t.Context(), dated(t, year, false), Taking{}); err != nil {
			t.Fatal(err)
		}
		titles, err := tb.bench.Games(t.Context())
		at := slices.IndexFunc(titles, func(one Title) bool { return one.ID == otherID })
		if err != nil || titles[at].Ahead < entry.Millis(year.Milliseconds())-1000 {
			t.Errorf("%+v, %v: nobody says that the game is dated ahead", titles, err)
		}
		for range 2 {
			d := tb.draft(entry.ClockStarted{})
			d.Game = otherID
			time.Sleep(3 * time.Second) // the network: it counts from the touch all the same
			u, err := tb.bench.Post(t.Context(), otherID, []entry.Entry{d})
			if err != nil || !u.State.Clock.Running {
				t.Fatalf("%+v, %v", u.State.Clock, refusals(err))
			}
			time.Sleep(37 * time.Second)
			d = tb.draft(entry.ClockStopped{})
			d.Game = otherID
			if u, err = tb.bench.Post(t.Context(), otherID, []entry.Entry{d}); err != nil {
				t.Fatal(err)
			}
		}
		if u, err := tb.bench.State(t.Context(), otherID); err != nil || u.State.Clock.Elapsed != 80_000 {
			t.Errorf("80 s were played and the clock shows %s, %v", u.State.Clock.Elapsed, err)
		}
	})
}

// A start that was touched while the game still was dated ahead, and that comes when it
// is no more, counts from the opening; what lies between is not sure. So is the bound
// of any start the largest that an entry may have at most, and the entry is read back.
func TestAStartFromBeforeTheOpeningIsNotSure(t *testing.T) {
	for _, test := range []struct{ before, late time.Duration }{
		{1829 * time.Millisecond, 1829 * time.Millisecond},
		{year, 5 * time.Hour},
	} {
		inBubble(t, func(t *testing.T, tb *table) {
			d := tb.draft(entry.ClockStarted{Error: 3})
			tb.post(period(1, 15))
			opened := tb.ledger()[0].Wall
			d.Body, d.Wall = entry.ClockStarted{Error: 3}, opened-entry.Millis(test.before.Milliseconds())
			c := tb.send(d).State.Clock
			want := min(entry.Millis(test.late.Milliseconds())+3, entry.Clock(300, 0))
			if !c.Running || c.Error < want-3 || c.Error > want {
				t.Errorf("%v before the opening: the clock is %+v", test.before, c)
			}
			if err := tb.newest().Validate(); err != nil {
				t.Errorf("%v before the opening: the entry cannot be read back: %v", test.before, err)
			}
		})
	}
}
