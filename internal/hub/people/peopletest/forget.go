package peopletest

import (
	"reflect"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/people"
)

func testForget(t *testing.T, s Store) {
	ctx := t.Context()
	join(t, s, Ours, "a", admin)
	join(t, s, Ours, "b", volunteer, manager, under14)
	ok(t, s.KeepKey(ctx, Ours, key("k1", "b"), note("added", 10)))
	mine := ticket
	mine.Person = "b"
	ok(t, s.KeepTicket(ctx, Ours, mine, "t1"))
	ok(t, s.Invite(ctx, Ours, people.Invitation{ID: "i1", To: manager, Inviter: "b", Made: 10, Expires: 50}, "hash of i1", note("invited", 10)))
	is(t, s.Forget(ctx, Ours, "a", false, note("deleted", 20)), people.ErrLastAdmin)
	ok(t, s.Forget(ctx, Ours, "b", false, note("deleted", 20)))
	is(t, s.Forget(ctx, Ours, "b", false, note("deleted", 21)), people.ErrGone)
	if p := person(t, s, "b"); p.ID != "" {
		t.Errorf("%+v", p)
	}
	if one := session(t, s, "hash-b"); one.ID != "" {
		t.Errorf("%+v", one)
	}
	if k, err := s.Key(ctx, Ours, "k1"); err != nil || k.ID != "" {
		t.Error(k, err)
	}
	_, err := s.Ticket(ctx, Ours, people.MailLink, "t1", 20)
	is(t, err, people.ErrGone)
	if i, err := s.Invitation(ctx, Ours, "hash of i1"); err != nil || i.Ended == 0 {
		t.Errorf("an invitation of somebody who is gone is good: %+v %v", i, err)
	}
	all, err := s.Everybody(ctx, Ours)
	ok(t, err)
	list, err := s.Deletions(ctx, Ours)
	ok(t, err)
	if len(all) != 1 || !reflect.DeepEqual(list, []people.Deletion{{Association: Ours, Person: "b", At: 20}}) {
		t.Error(all, list)
	}
	// After an older copy was restored even the last admin goes.
	join(t, s, Ours, "b", volunteer)
	ok(t, s.Forget(ctx, Ours, "b", true, note("deleted_again", 30)))
	ok(t, s.Forget(ctx, Ours, "a", true, note("deleted_again", 30)))
	if list, err = s.Deletions(ctx, Ours); err != nil || len(list) != 2 || list[0].At != 20 {
		t.Error(list, err)
	}
}

func testPrune(t *testing.T, s Store) {
	ctx := t.Context()
	join(t, s, Ours, "a", admin)
	for at := range entry.Millis(10) {
		ok(t, s.Note(ctx, Ours, note("tried", 100+at)))
	}
	before := lines(t, s, Ours) // the first two are of the instants 1 and 5
	n, err := s.Prune(ctx, Ours, 0, 0, note("pruned", 200))
	if err != nil || n != 0 || len(lines(t, s, Ours)) != len(before) {
		t.Error(n, err)
	}
	// A line whose clock was wrong keeps what stands behind it.
	ok(t, s.Note(ctx, Ours, note("tried", 3)))
	if n, err = s.Prune(ctx, Ours, 104, 0, note("pruned", 200)); err != nil || n != 6 {
		t.Error(n, err)
	}
	after := lines(t, s, Ours)
	if len(after) != 8 || after[0].Seq != 7 || after[0].At != 104 || after[len(after)-1].What != "pruned" {
		t.Fatalf("%+v", after)
	}
	prev := before[5].Hash
	for _, line := range after {
		if line.Prev != prev || line.Sum() != line.Hash {
			t.Errorf("line %d does not follow", line.Seq)
		}
		prev = line.Hash
	}
	// The newest line stays, whatever its time, so that the next one follows it.
	if n, err = s.Prune(ctx, Ours, 1_000, 0, note("pruned", 300)); err != nil || n != 7 {
		t.Error(n, err)
	}
	if after = lines(t, s, Ours); len(after) != 2 || after[1].Prev != after[0].Hash {
		t.Errorf("%+v", after)
	}
	// What ended goes with its time, and what is good stays.
	invite(t, s, "i1")
	ok(t, s.KeepTicket(ctx, Ours, ticket, "t1"))
	ok(t, s.EndSession(ctx, Ours, "s-a", note("ended", 40)))
	_, err = s.Prune(ctx, Ours, 0, 40, note("pruned", 300))
	ok(t, err)
	if session(t, s, "hash-a").ID == "" {
		t.Error("a session went that ended at that instant")
	}
	_, err = s.Prune(ctx, Ours, 0, 51, note("pruned", 300))
	ok(t, err)
	if list, err := s.Invitations(ctx, Ours); err != nil || len(list) != 0 || session(t, s, "hash-a").ID != "" {
		t.Error(list, err)
	}
	if n, err := s.Tickets(ctx, Ours, people.MailLink, "a", 0); err != nil || n != 0 {
		t.Error(n, err)
	}
	if p := person(t, s, "a"); p.ID == "" {
		t.Error("a person went")
	}
}
