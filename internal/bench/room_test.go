package bench

import (
	"context"
	"errors"
	"fmt"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/store/memory"
)

// sendFrom posts one entry from a seat's device and returns what was said
// against it: nothing, or the kind.
func (tb *table) sendFrom(p Poster, body entry.Body) Kind {
	tb.t.Helper()
	_, err := tb.bench.PostFrom(context.Background(), gameID, []entry.Entry{tb.draft(body)}, p)
	var said *Problem
	if err == nil || !errors.As(err, &said) {
		return 0
	}
	return said.Kind
}

// TestASeatThatFloodsStopsItself: it is told to wait, nobody else is, and what it
// could not post goes out later under the same id.
func TestASeatThatFloodsStopsItself(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		tb := sit(t, memory.New())
		tb.post(period(1, 12))
		shots, box := Poster{Seat: entry.ShotsSeat, Name: "one"}, Poster{Seat: entry.BoxSeat, Name: "two"}
		for range seatMinuteMost {
			if kind := tb.sendFrom(shots, entry.Note{Text: "n"}); kind != 0 {
				t.Fatal("refused too early:", kind)
			}
		}
		late := tb.draft(entry.Note{Text: "late"})
		send := func() error {
			_, err := tb.bench.PostFrom(context.Background(), gameID, []entry.Entry{late}, shots)
			return err
		}
		if err := send(); !isKind(err, TooMany) {
			t.Fatal("the flood goes on:", err)
		}
		for who, p := range map[string]Poster{
			"the bench": {}, "the box": box, "another device": {Seat: entry.ShotsSeat, Name: "three"},
		} {
			if kind := tb.sendFrom(p, entry.Note{Text: "n"}); kind != 0 {
				t.Errorf("%s is kept out by the flood: %d", who, kind)
			}
		}
		tb.post(entry.ClockStarted{})
		time.Sleep(59 * time.Second)
		if err := send(); !isKind(err, TooMany) {
			t.Error("the minute is not over:", err)
		}
		time.Sleep(time.Second)
		if err := send(); err != nil {
			t.Error("a minute later:", err)
		}
	})
}

// full is a bench with a game of so many entries.
func full(t *testing.T, count int) *table {
	tb := sit(t, memory.New())
	tb.post(period(1, 12))
	ledger, err := tb.bench.Ledger(t.Context(), gameID)
	if err != nil {
		t.Fatal(err)
	}
	more := []entry.Entry{}
	for n := len(ledger) + 1; n <= count; n++ {
		more = append(more, entry.Entry{
			ID: fmt.Sprintf("01JE%022d", n), Game: gameID, Seq: n, Wall: ledger[0].Wall, Seat: entry.Solo, Body: entry.Note{Text: "n"},
		})
	}
	if err := Chain(ledger, more); err != nil {
		t.Fatal(err)
	}
	if err := tb.log.Append(t.Context(), gameID, more); err != nil {
		t.Fatal(err)
	}
	tb.restart()
	return tb
}

// TestAGameTakesOnlySoMuch: from which entry on who may post what. Games are filled up
// to the limits, and what is taken there makes them one longer. What the bench itself
// posts is under no limit: it stops the clock of a full game.
func TestAGameTakesOnlySoMuch(t *testing.T) {
	clock, shots := Poster{Seat: entry.ClockSeat, Name: "c"}, Poster{Seat: entry.ShotsSeat, Name: "s"}
	note := entry.Note{Text: "n"}
	type post struct {
		from Poster
		body entry.Body
		want Kind
	}
	for _, game := range []struct {
		count int
		posts []post
	}{
		{seatsGameMost - 1, []post{
			{shots, note, 0}, // the last one
			{shots, note, Refused},
			{clock, note, Refused},
			{clock, entry.ClockStarted{}, 0},
			{Poster{}, note, 0},
		}},
		{clockGameMost, []post{
			{clock, entry.ClockStarted{}, Refused},
			{Poster{}, note, 0},
		}},
		{benchGameMost, []post{
			{Poster{}, note, Refused},
			{Poster{}, entry.ClockStarted{}, 0},
		}},
	} {
		if testing.Short() && game.count > seatsGameMost {
			continue
		}
		tb := full(t, game.count)
		for i, p := range game.posts {
			if got := tb.sendFrom(p.from, p.body); got != p.want {
				t.Errorf("in a game of %d entries, post %d: %q posts %s: %d, want %d", game.count, i, p.from.Seat, p.body.Kind(), got, p.want)
			}
		}
		if game.count == benchGameMost {
			tb.programStops()
		}
	}
}

// programStops stops the clock that runs, as the program does.
func (tb *table) programStops() {
	tb.t.Helper()
	g := tb.bench.games[gameID]
	_, err := ask(tb.t.Context(), g, func() (struct{}, error) {
		return struct{}{}, g.keep([]entry.Entry{{
			ID: "01JZ0000000000000000000001", Game: gameID, Seq: len(g.ledger) + 1, Seat: entry.Program,
			Wall: tb.bench.Now(), Body: entry.ClockStopped{Elapsed: 720_000},
		}})
	})
	if err != nil || tb.state().Clock.Running {
		tb.t.Fatal("the clock runs on:", err)
	}
}

// TestAGameTakesOnlySoManyPlays: goals and calls are what a state is slow to work
// out; those that were struck count no more.
func TestAGameTakesOnlySoManyPlays(t *testing.T) {
	tb := sit(t, memory.New())
	tb.post(period(1, 12))
	book := Poster{Seat: entry.BookSeat, Name: "b"}
	goal := func() entry.Entry {
		d := tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})
		d.At = entry.At{Period: 1, Elapsed: entry.Millis(tb.count) * 100}
		return d
	}
	var last entry.Entry
	for range seatPlaysMost / 20 {
		drafts := []entry.Entry{}
		for range 20 {
			last = goal()
			drafts = append(drafts, last)
		}
		tb.send(drafts...)
	}
	try := func(p Poster) error {
		_, err := tb.bench.PostFrom(t.Context(), gameID, []entry.Entry{goal()}, p)
		return err
	}
	if err := try(book); !isKind(err, Refused) {
		t.Fatal("one goal more is taken from a seat:", err)
	}
	if err := try(Poster{}); err != nil {
		t.Fatal("the bench may not go on:", err)
	}
	for _, of := range []string{last.ID, tb.bench.games[gameID].ledger[5].ID} {
		strike := tb.draft(entry.Struck{})
		strike.Of = of
		tb.send(strike)
	}
	if err := try(book); err != nil {
		t.Error("after two were struck:", err)
	}
}
