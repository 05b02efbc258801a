package peopletest

import (
	"context"
	"errors"
	"slices"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// Store is a hub's database, as far as people need it.
type Store interface {
	people.Store
	Found(ctx context.Context, a office.Association, note ledgers.Note) error
	Log(ctx context.Context, association string, after, most int) ([]office.Logged, error)
	Close() error
}

// Two associations.
const (
	Ours   = "harbour"
	Theirs = "elsewhere"
)

// Run runs the suite. open returns a new, empty store for each test.
func Run(t *testing.T, open func(t *testing.T) Store) {
	for _, test := range []struct {
		name string
		run  func(t *testing.T, s Store)
	}{
		{"who joins is there with their roles", testJoin},
		{"a manager's role keeps its division", testDivision},
		{"an invitation is used once, and by nobody after its time", testInvitation},
		{"of many who accept at once one joins", testRace},
		{"an address is one person's", testAddress},
		{"the last admin stays", testLastAdmin},
		{"with the last role the sessions end", testLeave},
		{"a session is found until it ends", testSession},
		{"each change has its line in the log, and a change that fails has none", testLog},
		{"a passkey is its person's until it ends", testKeys},
		{"a ticket is taken once, in its time, for what it is", testTickets},
		{"who is deleted is gone everywhere, and their id is kept", testForget},
		{"who somebody is at another service is one person's, of one association", testIdentities},
		{"the beginning of the log goes, and the chain holds", testPrune},
		{"the wrong association finds nothing and changes nothing", testWrongAssociation},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := open(t)
			t.Cleanup(func() {
				if err := s.Close(); err != nil {
					t.Errorf("close: %v", err)
				}
			})
			for _, id := range []string{Ours, Theirs} {
				if err := s.Found(t.Context(), office.Association{ID: id, Name: id, Made: 1}, note("founded", 1)); err != nil {
					t.Fatal(err)
				}
			}
			test.run(t, s)
		})
	}
}

func note(what string, at entry.Millis) ledgers.Note {
	return ledgers.Note{At: at, Who: "test", What: what}
}

func ok(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func is(t *testing.T, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%v, want %v", err, want)
	}
}

// join makes a person with a session whose hash is that of the id.
func join(t *testing.T, s Store, association, id string, roles ...people.Membership) {
	t.Helper()
	ok(t, s.Join(t.Context(), association, joining(id, roles...), note("joined", 5)))
}

func joining(id string, roles ...people.Membership) people.Joining {
	return people.Joining{
		Person: people.Person{ID: id, Name: "Name of " + id, Address: id + "@club.example", Made: 5}, Membership: roles,
		Session: people.Session{ID: "s-" + id, Person: id, How: people.ByInvite, Made: 5, Seen: 5, Proved: 5, Expires: 100}, Hash: "hash-" + id,
	}
}

var (
	admin     = people.Membership{Role: people.Admin}
	volunteer = people.Membership{Role: people.Volunteer}
	manager   = people.Membership{Role: people.Manager, Team: "Kelp Bay"}
	under14   = people.Membership{Role: people.Manager, Team: "Kelp Bay", Division: "Under 14"}
	under10   = people.Membership{Role: people.Manager, Team: "Kelp Bay", Division: "Under 10"}
)

func person(t *testing.T, s Store, id string) people.Person {
	t.Helper()
	p, err := s.Person(t.Context(), Ours, id)
	ok(t, err)
	return p
}

func testJoin(t *testing.T, s Store) {
	join(t, s, Ours, "b", volunteer, manager)
	join(t, s, Ours, "a", admin)
	p := person(t, s, "b")
	if p.Name != "Name of b" || p.Address != "b@club.example" || p.Made != 5 || len(p.Roles) != 2 ||
		!slices.Contains(p.Roles, volunteer) || !slices.Contains(p.Roles, manager) {
		t.Errorf("%+v", p)
	}
	// A role that somebody has already is no mistake; who is there keeps their name.
	j := people.Joining{Person: people.Person{ID: "b"}, Membership: []people.Membership{volunteer, admin}}
	ok(t, s.Join(t.Context(), Ours, j, note("joined", 6)))
	if p = person(t, s, "b"); p.Name != "Name of b" || len(p.Roles) != 3 {
		t.Errorf("%+v", p)
	}
	all, err := s.Everybody(t.Context(), Ours)
	ok(t, err)
	if len(all) != 2 || all[0].ID != "a" || all[1].ID != "b" || len(all[0].Roles) != 1 || len(all[1].Roles) != 3 {
		t.Errorf("%+v", all)
	}
	if p := person(t, s, "c"); p.ID != "" {
		t.Errorf("%+v", p)
	}
}

func invite(t *testing.T, s Store, id string) people.Invitation {
	t.Helper()
	i := people.Invitation{ID: id, To: manager, Inviter: "a", Made: 10, Expires: 50}
	ok(t, s.Invite(t.Context(), Ours, i, "hash of "+id, note("invited", 10)))
	return i
}

func testInvitation(t *testing.T, s Store) {
	join(t, s, Ours, "a", admin)
	i := invite(t, s, "i1")
	got, err := s.Invitation(t.Context(), Ours, "hash of i1")
	ok(t, err)
	if got != i {
		t.Errorf("%+v, want %+v", got, i)
	}
	with := func(person, invitation string) people.Joining {
		j := joining(person, manager)
		j.Invitation = invitation
		return j
	}
	is(t, s.Join(t.Context(), Ours, with("b", "i1"), note("accepted", 50)), people.ErrGone)
	is(t, s.Join(t.Context(), Ours, with("b", "no such"), note("accepted", 20)), people.ErrGone)
	if p := person(t, s, "b"); p.ID != "" {
		t.Errorf("%+v joined", p)
	}
	ok(t, s.Join(t.Context(), Ours, with("b", "i1"), note("accepted", 49)))
	is(t, s.Join(t.Context(), Ours, with("c", "i1"), note("accepted", 49)), people.ErrGone)
	is(t, s.EndInvitation(t.Context(), Ours, "i1", note("ended", 49)), people.ErrGone)
	invite(t, s, "i2")
	ok(t, s.EndInvitation(t.Context(), Ours, "i2", note("ended", 20)))
	is(t, s.Join(t.Context(), Ours, with("c", "i2"), note("accepted", 21)), people.ErrGone)
	list, err := s.Invitations(t.Context(), Ours)
	ok(t, err)
	if len(list) != 2 || list[0].Ended == 0 || list[1].Ended == 0 {
		t.Errorf("%+v", list)
	}
	if got, err = s.Invitation(t.Context(), Ours, "another hash"); err != nil || got.ID != "" {
		t.Errorf("%+v %v", got, err)
	}
}

func testRace(t *testing.T, s Store) {
	invite(t, s, "i1")
	results := make(chan error, 8)
	for n := range cap(results) {
		j := joining(string(rune('a'+n)), manager)
		j.Invitation = "i1"
		go func() { results <- s.Join(context.Background(), Ours, j, note("accepted", 20)) }()
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
	if all, err := s.Everybody(t.Context(), Ours); err != nil || won != 1 || len(all) != 1 {
		t.Errorf("%d won, %d joined, %v", won, len(all), err)
	}
}

func testAddress(t *testing.T, s Store) {
	join(t, s, Ours, "a", admin)
	invite(t, s, "i1")
	j := joining("b", manager)
	j.Person.Address, j.Invitation = "a@club.example", "i1"
	is(t, s.Join(t.Context(), Ours, j, note("accepted", 20)), people.ErrTaken)
	j.Person.Address = ""
	ok(t, s.Join(t.Context(), Ours, j, note("accepted", 20))) // the invitation was not used up
	join(t, s, Theirs, "a", admin)                            // elsewhere it is nobody's business
	is(t, s.Correct(t.Context(), Ours, people.Person{ID: "b", Name: "B", Address: "a@club.example"}, note("corrected", 20)), people.ErrTaken)
	is(t, s.Correct(t.Context(), Ours, people.Person{ID: "z", Name: "Z"}, note("corrected", 20)), people.ErrGone)
	ok(t, s.Correct(t.Context(), Ours, people.Person{ID: "a", Name: "A", Address: "a@club.example"}, note("corrected", 20)))
	ok(t, s.Correct(t.Context(), Ours, people.Person{ID: "b", Name: "B"}, note("corrected", 20)))
	if p := person(t, s, "b"); p.Name != "B" || len(p.Roles) != 1 {
		t.Errorf("%+v", p)
	}
}

func testDivision(t *testing.T, s Store) {
	join(t, s, Ours, "a", under14, under10, under14)
	join(t, s, Theirs, "a", under10)
	j := people.Joining{Person: people.Person{ID: "a"}, Membership: []people.Membership{under10}}
	ok(t, s.Join(t.Context(), Ours, j, note("joined", 6))) // has it already
	if p := person(t, s, "a"); !slices.Equal(p.Roles, []people.Membership{under10, under14}) {
		t.Errorf("%+v", p)
	}
	is(t, s.Leave(t.Context(), Ours, "a", manager, note("left", 20)), people.ErrGone)
	ok(t, s.Leave(t.Context(), Ours, "a", under10, note("left", 20)))
	is(t, s.Leave(t.Context(), Ours, "a", under10, note("left", 20)), people.ErrGone)
	if one := session(t, s, "hash-a"); one.Ended != 0 {
		t.Errorf("%+v", one)
	}
	join(t, s, Ours, "b", manager, under14)
	all, err := s.Everybody(t.Context(), Ours)
	ok(t, err)
	if len(all) != 2 || !slices.Equal(all[0].Roles, []people.Membership{under14}) || !slices.Equal(all[1].Roles, []people.Membership{manager, under14}) {
		t.Errorf("%+v", all)
	}
	ok(t, s.Leave(t.Context(), Ours, "a", under14, note("left", 21)))
	if one := session(t, s, "hash-a"); one.Ended != 21 {
		t.Errorf("%+v", one)
	}
	ok(t, s.Invite(t.Context(), Ours, people.Invitation{ID: "i", To: under10, Inviter: "b", Made: 10, Expires: 50}, "hash of i", note("invited", 10)))
	if i, err := s.Invitation(t.Context(), Ours, "hash of i"); err != nil || i.To != under10 {
		t.Errorf("%+v %v", i, err)
	}
}

func testLastAdmin(t *testing.T, s Store) {
	join(t, s, Ours, "a", admin, volunteer)
	join(t, s, Theirs, "x", admin) // does not count here
	is(t, s.Leave(t.Context(), Ours, "a", admin, note("left", 20)), people.ErrLastAdmin)
	ok(t, s.Leave(t.Context(), Ours, "a", volunteer, note("left", 20)))
	join(t, s, Ours, "b", admin)
	ok(t, s.Leave(t.Context(), Ours, "a", admin, note("left", 20)))
	is(t, s.Leave(t.Context(), Ours, "a", admin, note("left", 20)), people.ErrGone)
	is(t, s.Leave(t.Context(), Ours, "b", admin, note("left", 20)), people.ErrLastAdmin)
}

func session(t *testing.T, s Store, hash string) people.Session {
	t.Helper()
	one, err := s.Session(t.Context(), Ours, hash)
	ok(t, err)
	return one
}

func testLeave(t *testing.T, s Store) {
	join(t, s, Ours, "a", volunteer, manager)
	join(t, s, Ours, "b", volunteer)
	is(t, s.Leave(t.Context(), Ours, "a", people.Membership{Role: people.Manager, Team: "Northmole"}, note("left", 20)), people.ErrGone)
	ok(t, s.Leave(t.Context(), Ours, "a", manager, note("left", 20)))
	if one := session(t, s, "hash-a"); one.Ended != 0 {
		t.Errorf("%+v", one)
	}
	ok(t, s.Leave(t.Context(), Ours, "a", volunteer, note("left", 21)))
	if one := session(t, s, "hash-a"); one.Ended != 21 {
		t.Errorf("%+v", one)
	}
	if one := session(t, s, "hash-b"); one.Ended != 0 {
		t.Errorf("somebody else was signed out: %+v", one)
	}
}

func testSession(t *testing.T, s Store) {
	join(t, s, Ours, "a", volunteer)
	one := people.Session{ID: "s2", Person: "a", How: people.ByLink, Made: 7, Seen: 7, Proved: 7, Expires: 90}
	ok(t, s.Open(t.Context(), Ours, one, "h2", note("opened", 7)))
	if got := session(t, s, "h2"); got != one {
		t.Errorf("%+v", got)
	}
	ok(t, s.SeenAt(t.Context(), Ours, "s2", 30))
	if got := session(t, s, "h2"); got.Seen != 30 || got.Proved != 7 {
		t.Errorf("%+v", got)
	}
	ok(t, s.Prove(t.Context(), Ours, "s2", "h3", people.ByPasskey, note("proved", 40)))
	if got := session(t, s, "h3"); got.ID != "s2" || got.How != people.ByPasskey || got.Proved != 40 || got.Seen != 40 || got.Expires != 90 {
		t.Errorf("%+v", got)
	}
	if got := session(t, s, "h2"); got.ID != "" {
		t.Error("the secret of before still opens it")
	}
	list, err := s.Sessions(t.Context(), Ours, "a")
	ok(t, err)
	everybody, err := s.Sessions(t.Context(), Ours, "")
	ok(t, err)
	nobody, err := s.Sessions(t.Context(), Ours, "z")
	ok(t, err)
	if len(list) != 2 || list[0].ID != "s2" || len(everybody) != 2 || len(nobody) != 0 {
		t.Errorf("%+v %+v %+v", list, everybody, nobody)
	}
	ok(t, s.EndSession(t.Context(), Ours, "s2", note("ended", 50)))
	is(t, s.EndSession(t.Context(), Ours, "s2", note("ended", 51)), people.ErrGone)
	is(t, s.Prove(t.Context(), Ours, "s2", "h4", people.ByPasskey, note("proved", 51)), people.ErrGone)
	if got := session(t, s, "h3"); got.Ended != 50 {
		t.Errorf("%+v", got)
	}
	if got := session(t, s, "no such"); got.ID != "" {
		t.Errorf("%+v", got)
	}
}

func lines(t *testing.T, s Store, association string) []office.Logged {
	t.Helper()
	list, err := s.Log(t.Context(), association, 0, 1000)
	ok(t, err)
	return list
}

func testLog(t *testing.T, s Store) {
	join(t, s, Ours, "a", admin)
	invite(t, s, "i1")
	before := len(lines(t, s, Ours))
	is(t, s.Leave(t.Context(), Ours, "a", admin, note("left", 20)), people.ErrLastAdmin)
	is(t, s.EndSession(t.Context(), Ours, "none", note("ended", 20)), people.ErrGone)
	is(t, s.Correct(t.Context(), Ours, people.Person{ID: "none", Name: "x"}, note("corrected", 20)), people.ErrGone)
	if got := len(lines(t, s, Ours)); got != before {
		t.Errorf("%d lines, then %d", before, got)
	}
	ok(t, s.EndInvitation(t.Context(), Ours, "i1", note("ended", 20)))
	ok(t, s.EndSession(t.Context(), Ours, "s-a", note("ended", 20)))
	list := lines(t, s, Ours)
	if len(list) != before+2 {
		t.Errorf("%d lines, then %d", before, len(list))
	}
	prev := ""
	for _, line := range list {
		if line.Prev != prev || line.Sum() != line.Hash {
			t.Errorf("line %d does not follow", line.Seq)
		}
		prev = line.Hash
	}
}

// testWrongAssociation asks every question and tries every change about our people as
// somebody else's.
func testWrongAssociation(t *testing.T, s Store) {
	join(t, s, Ours, "a", admin)
	join(t, s, Ours, "b", volunteer)
	i := invite(t, s, "i1")
	before, log := person(t, s, "a"), len(lines(t, s, Ours))
	ctx := t.Context()
	p, err := s.Person(ctx, Theirs, "a")
	ok(t, err)
	all, err := s.Everybody(ctx, Theirs)
	ok(t, err)
	one, err := s.Session(ctx, Theirs, "hash-a")
	ok(t, err)
	list, err := s.Sessions(ctx, Theirs, "")
	ok(t, err)
	own, err := s.Sessions(ctx, Theirs, "a")
	ok(t, err)
	got, err := s.Invitation(ctx, Theirs, "hash of i1")
	ok(t, err)
	invited, err := s.Invitations(ctx, Theirs)
	ok(t, err)
	if p.ID != "" || len(all)+len(list)+len(own)+len(invited) != 0 || one.ID != "" || got.ID != "" {
		t.Error(p, all, one, list, own, got, invited)
	}
	ok(t, s.KeepKey(ctx, Ours, key("k1", "a"), note("added", 20)))
	ok(t, s.KeepTicket(ctx, Ours, ticket, "t1"))
	log++
	k, err := s.Key(ctx, Theirs, "k1")
	ok(t, err)
	keys, err := s.Keys(ctx, Theirs, "a")
	ok(t, err)
	count, err := s.Tickets(ctx, Theirs, people.MailLink, "a", 0)
	ok(t, err)
	if k.ID != "" || len(keys) != 0 || count != 0 {
		t.Error(k, keys, count)
	}
	_, err = s.Ticket(ctx, Theirs, people.MailLink, "t1", 20)
	is(t, err, people.ErrGone)
	_, err = s.TakeTicket(ctx, Theirs, people.MailLink, "t1", 20)
	is(t, err, people.ErrGone)
	n := note("tried", 20)
	is(t, s.UsedKey(ctx, Theirs, "k1", nil, 20), people.ErrGone)
	is(t, s.Forget(ctx, Theirs, "a", true, n), people.ErrGone)
	if n, err := s.Prune(ctx, Theirs, 0, 1_000_000, n); err != nil || n != 0 {
		t.Error(n, err)
	}
	if list, err := s.Deletions(ctx, Theirs); err != nil || len(list) != 0 {
		t.Error(list, err)
	}
	is(t, s.EndKey(ctx, Theirs, "a", "k1", n), people.ErrGone)
	if err := s.KeepKey(ctx, Theirs, key("k9", "a"), n); err == nil {
		t.Error("a passkey of somebody who is not there was kept")
	}
	is(t, s.Correct(ctx, Theirs, people.Person{ID: "a", Name: "x"}, n), people.ErrGone)
	is(t, s.Leave(ctx, Theirs, "b", volunteer, n), people.ErrGone)
	is(t, s.EndInvitation(ctx, Theirs, "i1", n), people.ErrGone)
	is(t, s.EndSession(ctx, Theirs, "s-a", n), people.ErrGone)
	is(t, s.Prove(ctx, Theirs, "s-a", "h", people.ByPasskey, n), people.ErrGone)
	ok(t, s.SeenAt(ctx, Theirs, "s-a", 99))
	j := joining("c", admin)
	j.Invitation = "i1"
	is(t, s.Join(ctx, Theirs, j, n), people.ErrGone)
	// Another association's session cannot belong to our person.
	stolen := people.Session{ID: "s9", Person: "a", How: people.ByLink, Made: 7, Seen: 7, Proved: 7, Expires: 90}
	if err := s.Open(ctx, Theirs, stolen, "h9", n); err == nil {
		t.Error("a session of somebody who is not there was kept")
	}
	join(t, s, Theirs, "a", volunteer) // the same id is somebody else there
	if after := person(t, s, "a"); after.Name != before.Name || len(after.Roles) != 1 || after.Roles[0] != admin {
		t.Errorf("%+v", after)
	}
	if got, err = s.Invitation(ctx, Ours, "hash of i1"); err != nil || got != i {
		t.Errorf("%+v %v", got, err)
	}
	if got := session(t, s, "hash-a"); got.Seen != 5 || got.Ended != 0 {
		t.Errorf("%+v", got)
	}
	if list, err := s.Keys(ctx, Ours, "a"); err != nil || len(list) != 1 || list[0].Used != 0 {
		t.Errorf("%+v %v", list, err)
	}
	if _, err := s.Ticket(ctx, Ours, people.MailLink, "t1", 20); err != nil {
		t.Error(err)
	}
	if got := len(lines(t, s, Ours)); got != log {
		t.Errorf("%d lines of our log, %d before", got, log)
	}
}
