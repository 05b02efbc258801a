package peopletest

import (
	"context"
	"errors"
	"reflect"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/people"
)

func key(id, person string) people.Key {
	return people.Key{ID: id, Person: person, Handle: []byte("\x00handle\xff"), Label: "Phone", Made: 10, Data: []byte{0, 1, 255}}
}

var ticket = people.Ticket{Kind: people.MailLink, Person: "a", Data: []byte{0, 255}, Made: 10, Expires: 50}

func testKeys(t *testing.T, s Store) {
	ctx := t.Context()
	join(t, s, Ours, "a", admin)
	join(t, s, Ours, "b", volunteer)
	ok(t, s.KeepKey(ctx, Ours, key("k1", "a"), note("added", 10)))
	is(t, s.KeepKey(ctx, Ours, key("k1", "b"), note("added", 10)), people.ErrTaken)
	second := key("k2", "a")
	second.Made = 11
	ok(t, s.KeepKey(ctx, Ours, second, note("added", 11)))
	if got, err := s.Key(ctx, Ours, "k1"); err != nil || !reflect.DeepEqual(got, key("k1", "a")) {
		t.Errorf("%+v %v", got, err)
	}
	ok(t, s.UsedKey(ctx, Ours, "k1", []byte{7}, 30))
	is(t, s.UsedKey(ctx, Ours, "none", []byte{7}, 30), people.ErrGone)
	if got, err := s.Key(ctx, Ours, "k1"); err != nil || got.Used != 30 || string(got.Data) != "\x07" {
		t.Errorf("%+v %v", got, err)
	}
	is(t, s.EndKey(ctx, Ours, "b", "k1", note("ended", 31)), people.ErrGone)
	ok(t, s.EndKey(ctx, Ours, "a", "k1", note("ended", 31)))
	is(t, s.EndKey(ctx, Ours, "a", "k1", note("ended", 32)), people.ErrGone)
	if list, err := s.Keys(ctx, Ours, "a"); err != nil || len(list) != 1 || list[0].ID != "k2" {
		t.Errorf("%+v %v", list, err)
	}
	if got, err := s.Key(ctx, Ours, "k1"); err != nil || got.ID != "" {
		t.Errorf("%+v %v", got, err)
	}
}

func testTickets(t *testing.T, s Store) {
	ctx := t.Context()
	ok(t, s.KeepTicket(ctx, Ours, ticket, "t1"))
	got, err := s.Ticket(ctx, Ours, people.MailLink, "t1", 49)
	if err != nil || !reflect.DeepEqual(got, ticket) {
		t.Errorf("%+v %v", got, err)
	}
	_, err = s.TakeTicket(ctx, Ours, people.ShowingKey, "t1", 20)
	is(t, err, people.ErrGone)
	_, err = s.TakeTicket(ctx, Ours, people.MailLink, "t2", 20)
	is(t, err, people.ErrGone)
	_, err = s.TakeTicket(ctx, Ours, people.MailLink, "t1", 50)
	is(t, err, people.ErrGone)
	results := make(chan error, 8)
	for range cap(results) {
		go func() {
			_, err := s.TakeTicket(context.Background(), Ours, people.MailLink, "t1", 49)
			results <- err
		}()
	}
	won := 0
	for range cap(results) {
		switch err := <-results; {
		case err == nil:
			won++
		case !errors.Is(err, people.ErrGone):
			t.Error(err)
		}
	}
	if won != 1 {
		t.Errorf("%d took it", won)
	}
	_, err = s.Ticket(ctx, Ours, people.MailLink, "t1", 20)
	is(t, err, people.ErrGone)
	// Those of an hour are counted, whether they were used or ended.
	later := ticket
	later.Made, later.Expires = 3_600_049, 3_700_000
	ok(t, s.KeepTicket(ctx, Ours, later, "t2"))
	for since, want := range map[int]int{0: 2, 10: 1} {
		if n, err := s.Tickets(ctx, Ours, people.MailLink, "a", entry.Millis(since)); err != nil || n != want {
			t.Errorf("since %d: %d, %v", since, n, err)
		}
	}
	if n, err := s.Tickets(ctx, Ours, people.ShowingKey, "a", 0); err != nil || n != 0 {
		t.Error(n, err)
	}
	later.Made++
	ok(t, s.KeepTicket(ctx, Ours, later, "t3"))
	if n, err := s.Tickets(ctx, Ours, people.MailLink, "a", 0); err != nil || n != 2 {
		t.Errorf("what ended an hour ago is kept: %d, %v", n, err)
	}
}
