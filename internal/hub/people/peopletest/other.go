package peopletest

import (
	"testing"

	"whistlestop/internal/hub/people"
)

func testIdentities(t *testing.T, s Store) {
	ctx := t.Context()
	join(t, s, Ours, "a", admin)
	join(t, s, Ours, "b", volunteer)
	join(t, s, Theirs, "b", volunteer)
	const issuer, other = "https://id.example", "https://id.example/other"
	i := people.Identity{Issuer: issuer, Subject: "7", Person: "b", Made: 10}
	ok(t, s.KeepIdentity(ctx, Ours, i, note("linked_other", 10)))
	is(t, s.KeepIdentity(ctx, Ours, people.Identity{Issuer: issuer, Subject: "7", Person: "a", Made: 11}, note("linked_other", 11)), people.ErrTaken)
	find := func(association, issuer, subject, want string) {
		t.Helper()
		if got, err := s.Identity(ctx, association, issuer, subject); err != nil || got.Person != want {
			t.Errorf("%s %s %s: %+v %v", association, issuer, subject, got, err)
		}
	}
	find(Ours, issuer, "7", "b")
	find(Ours, other, "7", "") // the same number at another service is somebody else
	find(Ours, issuer, "8", "")
	find(Theirs, issuer, "7", "")
	list, err := s.Identities(ctx, Theirs, "b")
	if err != nil || len(list) != 0 {
		t.Error(list, err)
	}
	is(t, s.EndIdentities(ctx, Theirs, "b", issuer, note("ended_other", 12)), people.ErrGone)
	is(t, s.EndIdentities(ctx, Ours, "b", other, note("ended_other", 12)), people.ErrGone)
	ok(t, s.EndIdentities(ctx, Ours, "b", issuer, note("ended_other", 12)))
	find(Ours, issuer, "7", "")
	ok(t, s.KeepIdentity(ctx, Ours, i, note("linked_other", 13)))
	ok(t, s.Forget(ctx, Ours, "b", false, note("deleted", 14)))
	find(Ours, issuer, "7", "")
}
