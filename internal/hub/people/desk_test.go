package people_test

import (
	"crypto/rand"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/sqlite"
)

// club is an association that is being tried out, over a real database.
type club struct {
	*people.Desk
	t     *testing.T
	store *sqlite.Store
	now   entry.Millis
}

func newClub(t *testing.T) *club {
	t.Helper()
	store, err := sqlite.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	c := &club{t: t, store: store, now: 1_700_000_000_000}
	c.Desk = c.of("harbour")
	return c
}

// of is the people of an association, which is founded.
func (c *club) of(association string) *people.Desk {
	c.t.Helper()
	a := office.Association{ID: association, Name: association, Made: 1}
	if err := c.store.Found(c.t.Context(), a, ledgers.Note{At: 1, Who: "test", What: "founded"}); err != nil {
		c.t.Fatal(err)
	}
	return people.New(c.store, association, func() entry.Millis { return c.now }, rand.Reader)
}

// reopened is the people of a copy of the database.
func reopened(t *testing.T, c *club, file string) *people.Desk {
	t.Helper()
	folder := t.TempDir()
	if err := os.Rename(file, filepath.Join(folder, sqlite.File)); err != nil {
		t.Fatal(err)
	}
	store, err := sqlite.Open(t.Context(), folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	return people.New(store, "harbour", func() entry.Millis { return c.now }, rand.Reader)
}

// caller is who is signed in with a secret.
func (c *club) caller(secret string) people.Caller {
	c.t.Helper()
	caller, err := c.Known(c.t.Context(), secret, "192.0.2.0/24", false)
	if err != nil {
		c.t.Fatal(err)
	}
	return caller
}

func (c *club) first(name string) people.Caller {
	c.t.Helper()
	secret, err := c.First(c.t.Context(), name, "192.0.2.0/24")
	if err != nil {
		c.t.Fatal(err)
	}
	return c.caller(secret)
}

// invited is somebody new whom a caller invites.
func (c *club) invited(by people.Caller, to people.Membership, name string) people.Caller {
	c.t.Helper()
	secret, _, err := c.Invite(c.t.Context(), by, to)
	if err != nil {
		c.t.Fatal(err)
	}
	session, err := c.Accept(c.t.Context(), secret, people.Caller{}, name, "", "192.0.2.0/24")
	if err != nil {
		c.t.Fatal(err)
	}
	return c.caller(session)
}

func is(t *testing.T, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%v, want %v", err, want)
	}
}

var (
	admin       = people.Membership{Role: people.Admin}
	coordinator = people.Membership{Role: people.Coordinator}
	referee     = people.Membership{Role: people.Referee}
	volunteer   = people.Membership{Role: people.Volunteer}
	kelpBay     = people.Membership{Role: people.Manager, Team: "Kelp Bay"}
)

const minute = 60_000

func TestTheFirstAdminInvites(t *testing.T) {
	c := newClub(t)
	first := c.first("Robin  Ashdown")
	if first.Name != "Robin Ashdown" || !first.Is(people.Admin) || !first.Is(people.Coordinator) || !first.Fresh || first.From == "" {
		t.Fatalf("%+v", first)
	}
	if again := c.first("Robin Ashdown"); again.Person != first.Person || again.Session == first.Session {
		t.Errorf("%+v, first %+v", again, first)
	}
	if other := c.first("Sage Thornley"); other.Person == first.Person {
		t.Error("another name is the same person")
	}
	helper := c.invited(first, volunteer, "Alex Marlowe")
	if helper.Is(people.Admin) || !helper.Is(people.Volunteer) || len(helper.Roles) != 1 {
		t.Errorf("%+v", helper)
	}
	// Whoever is signed in accepts as themself, and has both roles.
	secret, _, err := c.Invite(t.Context(), first, referee)
	is(t, err, nil)
	session, err := c.Accept(t.Context(), secret, helper, "", "", "")
	if err != nil || session != "" {
		t.Error(session, err)
	}
	all, err := c.Everybody(t.Context())
	if err != nil || len(all) != 3 || all[0].Name != "Alex Marlowe" || !all[0].Is(people.Referee) || !all[0].Is(people.Volunteer) {
		t.Errorf("%+v %v", all, err)
	}
}

func TestInvitations(t *testing.T) {
	c := newClub(t)
	first := c.first("Robin Ashdown")
	ctx := t.Context()
	secret, i, err := c.Invite(ctx, first, coordinator)
	is(t, err, nil)
	if !strings.HasPrefix(secret, "harbour.") || i.Expires-i.Made != 7*24*60*minute {
		t.Errorf("%q %+v", secret, i)
	}
	got, inviter, err := c.Invited(ctx, secret)
	if err != nil || got.To != coordinator || inviter.Name != "Robin Ashdown" {
		t.Errorf("%+v %+v %v", got, inviter, err)
	}
	for _, bad := range []string{"", "harbour.", secret + "x", secret[1:], "elsewhere" + secret[7:], strings.Replace(secret, ".", "", 1)} {
		_, _, err := c.Invited(ctx, bad)
		is(t, err, people.ErrGone)
		_, err = c.Accept(ctx, bad, people.Caller{}, "Alex Marlowe", "", "")
		is(t, err, people.ErrGone)
	}
	_, err = c.Accept(ctx, secret, people.Caller{}, " ", "", "")
	is(t, err, people.ErrBad) // and is not used up
	if _, err = c.Accept(ctx, secret, people.Caller{}, "Alex Marlowe", "alex@club.example", ""); err != nil {
		t.Fatal(err)
	}
	_, err = c.Accept(ctx, secret, people.Caller{}, "Jo Winslade", "", "")
	is(t, err, people.ErrGone)

	old, _, err := c.Invite(ctx, first, volunteer)
	is(t, err, nil)
	back, taken, err := c.Invite(ctx, first, volunteer)
	is(t, err, nil)
	is(t, c.EndInvitation(ctx, first, taken.ID), nil)
	is(t, c.EndInvitation(ctx, first, taken.ID), people.ErrGone)
	_, _, err = c.Invited(ctx, back)
	is(t, err, people.ErrGone)
	c.now += 7*24*60*minute - 1
	if _, _, err = c.Invited(ctx, old); err != nil {
		t.Error(err)
	}
	c.now++
	_, _, err = c.Invited(ctx, old)
	is(t, err, people.ErrGone)
}

// Nobody gives what they have not, before and after the invitation was made.
func TestAnInvitationIsWorthWhatItsInviterIs(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	crew := c.invited(first, coordinator, "Alex Marlowe")
	team := c.invited(first, kelpBay, "Jo Winslade")
	helper := c.invited(first, volunteer, "Sage Thornley")
	for _, try := range []struct {
		by people.Caller
		to people.Membership
		ok bool
	}{
		{crew, volunteer, true}, {crew, coordinator, false}, {crew, admin, false}, {crew, referee, false}, {crew, kelpBay, false},
		{team, kelpBay, true}, {team, people.Membership{Role: people.Manager, Team: "Northmole"}, false}, {team, volunteer, false}, {team, admin, false},
		{helper, volunteer, false}, {people.Caller{Fresh: true}, volunteer, false},
	} {
		_, _, err := c.Invite(ctx, try.by, try.to)
		if (err == nil) != try.ok || err != nil && !errors.Is(err, people.ErrRefused) {
			t.Errorf("%v gives %+v: %v", try.by.Roles, try.to, err)
		}
	}
	secret, _, err := c.Invite(ctx, crew, volunteer)
	is(t, err, nil)
	is(t, c.End(ctx, first, crew.Person, coordinator), nil)
	_, _, err = c.Invited(ctx, secret)
	is(t, err, people.ErrGone)
	_, err = c.Accept(ctx, secret, people.Caller{}, "Pat Underhill", "", "")
	is(t, err, people.ErrGone)
}

func TestHowLongSessionsLast(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	secret, err := c.First(ctx, "Robin Ashdown", "")
	is(t, err, nil)
	first := c.caller(secret)
	invitation, _, err := c.Invite(ctx, first, volunteer)
	is(t, err, nil)
	helper, err := c.Accept(ctx, invitation, people.Caller{}, "Alex Marlowe", "", "")
	is(t, err, nil)
	begun := c.now

	c.now = begun + 15*minute - 1
	if !c.caller(secret).Fresh {
		t.Error("a sign-in of 15 minutes is fresh")
	}
	c.now++
	if c.caller(secret).Fresh {
		t.Error("a sign-in stays fresh")
	}
	// An admin who goes on working is signed in for twelve hours and no longer.
	for c.now = begun + 30*minute; c.now < begun+12*60*minute; c.now += 50 * minute {
		c.caller(secret)
	}
	c.now = begun + 12*60*minute
	_, err = c.Known(ctx, secret, "", false)
	is(t, err, people.ErrGone)
	// One who does nothing for an hour has to sign in again.
	c.now = begun
	idle, err := c.First(ctx, "Robin Ashdown", "")
	is(t, err, nil)
	c.now += 60*minute - 1
	c.caller(idle)
	c.now += 60 * minute
	_, err = c.Known(ctx, idle, "", false)
	is(t, err, people.ErrGone)
	// A volunteer is signed in for ninety days.
	c.now = begun + 90*24*60*minute - 1
	c.caller(helper)
	c.now++
	_, err = c.Known(ctx, helper, "", false)
	is(t, err, people.ErrGone)
}

// Where browsers can have passkeys, who was invited as an admin is none before they
// have one: an invitation can be read on its way.
func TestAnInvitedAdminWaitsForAPasskey(t *testing.T) {
	c := newClub(t)
	first := c.first("Robin Ashdown")
	secret, _, err := c.Invite(t.Context(), first, admin)
	is(t, err, nil)
	session, err := c.Accept(t.Context(), secret, people.Caller{}, "Alex Marlowe", "", "")
	is(t, err, nil)
	held, err := c.Known(t.Context(), session, "", true)
	if err != nil || held.Is(people.Admin) || !slices.Equal(held.Held, []people.Membership{admin}) || held.May(people.ReadPeople, people.On{}) {
		t.Errorf("%+v %v", held, err)
	}
	if here := c.caller(session); !here.Is(people.Admin) {
		t.Error("where no browser can have a passkey nothing is waited for")
	}
}

func TestWhoChangesWhom(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	crew := c.invited(first, coordinator, "Alex Marlowe")
	helper := c.invited(first, volunteer, "Sage Thornley")
	team := c.invited(first, kelpBay, "Jo Winslade")
	is(t, c.Correct(ctx, crew, helper.Person, "Sage Thornley-Marsh", "sage@club.example"), nil)
	is(t, c.Correct(ctx, helper, helper.Person, "Sage Thornley", ""), nil)
	is(t, c.Correct(ctx, crew, first.Person, "x", ""), people.ErrRefused)
	is(t, c.Correct(ctx, team, helper.Person, "x", ""), people.ErrRefused)
	is(t, c.Correct(ctx, helper, team.Person, "x", ""), people.ErrRefused)
	is(t, c.Correct(ctx, first, "nobody", "x", ""), people.ErrGone)
	is(t, c.End(ctx, crew, first.Person, admin), people.ErrRefused)
	is(t, c.End(ctx, helper, helper.Person, volunteer), people.ErrRefused)
	is(t, c.End(ctx, first, first.Person, admin), people.ErrLastAdmin)
	is(t, c.EndSession(ctx, helper, team.Session), people.ErrGone)
	is(t, c.EndSession(ctx, crew, first.Session), people.ErrGone)
	is(t, c.EndSession(ctx, crew, helper.Session), nil)
	// Somebody who also is more than a volunteer is not the coordinator's any more.
	secret, _, err := c.Invite(ctx, first, referee)
	is(t, err, nil)
	_, err = c.Accept(ctx, secret, helper, "", "", "")
	is(t, err, nil)
	is(t, c.Correct(ctx, crew, helper.Person, "x", ""), people.ErrRefused)
	seen := func(by people.Caller) (names []string) {
		list, err := c.Seen(ctx, by)
		is(t, err, nil)
		for _, p := range list {
			names = append(names, p.Name)
		}
		return names
	}
	if got := seen(crew); !slices.Equal(got, []string{"Alex Marlowe"}) {
		t.Errorf("the coordinator sees %v", got)
	}
	if got := seen(first); len(got) != 4 {
		t.Errorf("the admin sees %v", got)
	}
	if got := seen(team); !slices.Equal(got, []string{"Jo Winslade"}) {
		t.Errorf("the manager sees %v", got)
	}
	c.now += 15 * minute
	stale := crew
	stale.Fresh = false
	_, _, err = c.Invite(ctx, stale, volunteer)
	is(t, err, people.ErrStale)
	first.Fresh = false
	is(t, c.End(ctx, first, helper.Person, referee), people.ErrStale)
	is(t, c.Correct(ctx, first, first.Person, "x", ""), people.ErrStale)
}

// What belongs to one association opens nothing in another.
func TestAnotherAssociation(t *testing.T) {
	c := newClub(t)
	elsewhere := c.of("elsewhere")
	ctx := t.Context()
	secret, err := c.First(ctx, "Robin Ashdown", "")
	is(t, err, nil)
	_, err = elsewhere.Known(ctx, secret, "", false)
	is(t, err, people.ErrGone)
	_, err = elsewhere.Known(ctx, "elsewhere."+strings.TrimPrefix(secret, "harbour."), "", false)
	is(t, err, people.ErrGone)
	invitation, _, err := c.Invite(ctx, c.caller(secret), admin)
	is(t, err, nil)
	_, err = elsewhere.Accept(ctx, invitation, people.Caller{}, "Alex Marlowe", "", "")
	is(t, err, people.ErrGone)
	if in, err := elsewhere.SignedIn(ctx); in || err != nil {
		t.Error(in, err)
	}
	if in, err := c.SignedIn(ctx); !in || err != nil {
		t.Error(in, err)
	}
	// With fresh rights of one, nothing is found of another.
	is(t, elsewhere.Correct(ctx, c.caller(secret), c.caller(secret).Person, "x", ""), people.ErrGone)
}
