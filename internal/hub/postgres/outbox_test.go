package postgres_test

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"sync"
	"testing"

	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/postgres"
)

// take takes everything that waits.
func take(t *testing.T, s *postgres.Store) (got []bus.Message) {
	t.Helper()
	for {
		n, err := s.TakeOutbox(t.Context(), bus.AtOnce, func(_ context.Context, messages []bus.Message) error {
			got = append(got, messages...)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if n == 0 {
			return got
		}
	}
}

// Whatever is kept is to be told, line by line, with what was hashed; a choice and a
// hand-over are a message without a line. What was not published stays.
func TestOutbox(t *testing.T) {
	s := open(t, running(t).URL(app, fresh(t)))
	defer closed(t, s)
	found(t, s)
	lines := hubtest.Chain("a", nil, 6)
	for _, part := range [][]ledgers.Line{lines[:4], lines[4:5], lines[4:]} { // the last one goes the long way
		if _, err := s.Append(t.Context(), hubtest.At, 1, part, 7); err != nil {
			t.Fatal(err)
		}
	}
	there := hubtest.At
	there.Association = hubtest.Theirs
	if _, err := s.Append(t.Context(), there, 1, lines[:1], 7); err != nil {
		t.Fatal(err)
	}
	if rows, oldest, err := s.Waiting(t.Context()); err != nil || rows != 4 || oldest < 0 {
		t.Errorf("%d, %v, %v", rows, oldest, err)
	}
	errAway := errors.New("away")
	if _, err := s.TakeOutbox(t.Context(), 10, func(context.Context, []bus.Message) error { return errAway }); !errors.Is(err, errAway) {
		t.Error(err)
	}
	got := take(t, s)
	if len(got) != 7 || got[6].Association != hubtest.Theirs {
		t.Fatalf("%d messages", len(got))
	}
	for i, line := range lines {
		if m := got[i]; m.Seq != line.Seq || string(m.Line) != string(line.Bytes) || m.Game != hubtest.Game || m.Epoch != 1 {
			t.Errorf("%+v, want %+v", m, line)
		}
	}
	var fork *ledgers.ForkError
	if _, err := s.Append(t.Context(), hubtest.At, 1, hubtest.Chain("b", lines[:2], 1), 7); !errors.As(err, &fork) {
		t.Fatal(err)
	}
	if _, err := s.Choose(t.Context(), hubtest.At, 1, ledgers.Note{What: "chose"}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Raise(t.Context(), hubtest.At, ledgers.Note{What: "raised"}); err != nil {
		t.Fatal(err)
	}
	turns := map[string]bool{}
	for _, m := range take(t, s) {
		if m.Seq != 0 || len(m.Line) != 0 {
			t.Errorf("%+v", m)
		}
		turns[m.ID()] = true
	}
	if len(turns) != 3 {
		t.Errorf("%v", turns)
	}
	if rows, _, err := s.Waiting(t.Context()); err != nil || rows != 0 {
		t.Errorf("%d rows still wait, %v", rows, err)
	}
}

// A row may lie where one was taken that is older than those around it: lines are told in
// the order in which they came all the same.
func TestOlderRowsAreToldFirst(t *testing.T) {
	database := fresh(t)
	s := open(t, running(t).URL(app, database))
	defer closed(t, s)
	found(t, s)
	lines := hubtest.Chain("a", nil, 4)
	owner := super(t, database)
	add := func(from, to int) {
		t.Helper()
		if _, err := s.Append(t.Context(), hubtest.At, 1, lines[from:to], 7); err != nil {
			t.Fatal(err)
		}
	}
	add(0, 1)
	add(1, 3)
	exec(t, owner, "DELETE FROM hub.outbox WHERE first = 1")
	exec(t, owner, "VACUUM hub.outbox")
	add(3, 4)
	if lie := list[int](t, owner, "SELECT first::int FROM hub.outbox ORDER BY ctid"); !slices.Equal(lie, []int{4, 2}) {
		t.Fatalf("the rows do not lie as this test wants them: %v", lie)
	}
	var told []int
	for _, m := range take(t, s) {
		told = append(told, m.Seq)
	}
	if !slices.Equal(told, []int{2, 3, 4}) {
		t.Errorf("told %v", told)
	}
}

// About a thousand lines are taken at once, and no row that is not published with them is
// kept from the next who asks: rows come in their order, each as a whole.
func TestManyLinesOfTheOutbox(t *testing.T) {
	s := open(t, running(t).URL(app, fresh(t)))
	defer closed(t, s)
	found(t, s)
	lines := hubtest.Chain("a", nil, 7*400)
	for first := 0; first < len(lines); first += 400 {
		if _, err := s.Append(t.Context(), hubtest.At, 1, lines[first:first+400], 7); err != nil {
			t.Fatal(err)
		}
	}
	var counts, seqs []int
	note := func(messages []bus.Message) {
		counts = append(counts, len(messages))
		for _, m := range messages {
			seqs = append(seqs, m.Seq)
		}
	}
	taken, err := s.TakeOutbox(t.Context(), bus.AtOnce, func(_ context.Context, messages []bus.Message) error {
		note(messages)
		for { // while those are taken
			n, err := s.TakeOutbox(t.Context(), bus.AtOnce, func(_ context.Context, messages []bus.Message) error {
				note(messages)
				return nil
			})
			if n == 0 || err != nil {
				return err
			}
		}
	})
	if taken != 3 || err != nil || !slices.Equal(counts, []int{1200, 1200, 400}) {
		t.Errorf("%d, %v, %v", taken, counts, err)
	}
	for i, seq := range seqs {
		if seq != i+1 {
			t.Fatalf("line %d is %d", i+1, seq)
		}
	}
}

// Three relays share an outbox while benches send: everything is published, by one of
// them. A bus that lost all of it is given all of it again.
func TestRelaysShareAnOutbox(t *testing.T) {
	s := open(t, running(t).URL(app, fresh(t)))
	defer closed(t, s)
	found(t, s)
	const games, lines = 6, 30
	b := bus.NewMemory()
	var mutex sync.Mutex
	told, all := map[string]int{}, make(chan struct{})
	stop, err := b.Follow(func(m bus.Message) {
		mutex.Lock()
		defer mutex.Unlock()
		if told[m.ID()]++; len(told) == games*lines && told[m.ID()] == 1 {
			close(all)
		}
	}, func() { t.Error("something is missing") })
	if err != nil {
		t.Fatal(err)
	}
	defer stop()
	ctx, cancel := context.WithCancel(t.Context())
	var relays, benches sync.WaitGroup
	for range 3 {
		relay := &bus.Relay{Outbox: s, Bus: b, Logger: slog.New(slog.DiscardHandler)}
		relays.Go(func() { relay.Run(ctx) })
	}
	for i := range games {
		benches.Go(func() {
			at := ledgers.Where{Association: hubtest.Ours, Game: fmt.Sprint("G", i)}
			for _, line := range hubtest.Chain("a", nil, lines) {
				if _, err := s.Append(ctx, at, 1, []ledgers.Line{line}, 7); err != nil {
					t.Error(err)
				}
			}
		})
	}
	benches.Wait()
	<-all
	cancel()
	relays.Wait()
	again := map[string]bool{}
	if err := s.Republish(t.Context(), 7, func(_ context.Context, messages []bus.Message) error {
		for _, m := range messages {
			again[m.ID()] = true
		}
		return nil
	}); err != nil || len(again) != games*lines {
		t.Errorf("%d of %d, %v", len(again), games*lines, err)
	}
	if err := s.Republish(t.Context(), 8, func(context.Context, []bus.Message) error { return errors.New("too old") }); err != nil {
		t.Error(err)
	}
	mutex.Lock()
	defer mutex.Unlock()
	for id, times := range told {
		if times != 1 {
			t.Errorf("%s was published %d times without a failure", id, times)
		}
	}
}
