package people_test

import (
	"testing"

	"whistlestop/internal/hub/people"
)

func TestALinkSignsInOnce(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	is(t, c.Correct(ctx, first, first.Person, "Robin Ashdown", "robin@club.example"), nil)
	helper := c.invited(first, volunteer, "Alex Marlowe")
	is(t, c.Correct(ctx, first, helper.Person, "Alex Marlowe", "alex@club.example"), nil)
	for _, nobody := range []string{"", "nobody@club.example", "robin@club.example"} { // the last is an admin
		_, _, err := c.LinkFor(ctx, nobody)
		is(t, err, people.ErrGone)
	}
	secret, p, err := c.LinkFor(ctx, "alex@club.example")
	if err != nil || p.Name != "Alex Marlowe" {
		t.Fatal(p, err)
	}
	is(t, c.LinkGood(ctx, secret), nil)
	for _, bad := range []string{"", secret + "A", "elsewhere" + secret[7:]} {
		is(t, c.LinkGood(ctx, bad), people.ErrGone)
		_, err := c.EnterByLink(ctx, people.Caller{}, bad, "")
		is(t, err, people.ErrGone)
	}
	in, err := c.EnterByLink(ctx, people.Caller{}, secret, "")
	is(t, err, nil)
	if got := c.caller(in); got.Person != helper.Person || got.How != people.ByMail || !got.Fresh {
		t.Errorf("%+v", got)
	}
	_, err = c.EnterByLink(ctx, people.Caller{}, secret, "")
	is(t, err, people.ErrGone)
	is(t, c.LinkGood(ctx, secret), people.ErrGone)

	// At the browser of somebody else their session ends.
	secret, _, err = c.LinkFor(ctx, "alex@club.example")
	is(t, err, nil)
	firstAgain, err := c.First(ctx, "Robin Ashdown", "")
	is(t, err, nil)
	_, err = c.EnterByLink(ctx, c.caller(firstAgain), secret, "")
	is(t, err, nil)
	_, err = c.Known(ctx, firstAgain, "", false)
	is(t, err, people.ErrGone)

	old, _, err := c.LinkFor(ctx, "alex@club.example")
	is(t, err, nil)
	c.now += 15*minute - 1
	is(t, c.LinkGood(ctx, old), nil)
	c.now++
	_, err = c.EnterByLink(ctx, people.Caller{}, old, "")
	is(t, err, people.ErrGone)
}

func TestFiveLinksAnHour(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	helper := c.invited(first, volunteer, "Alex Marlowe")
	is(t, c.Correct(ctx, first, helper.Person, "Alex Marlowe", "alex@club.example"), nil)
	for range 5 {
		_, _, err := c.LinkFor(ctx, "alex@club.example")
		is(t, err, nil)
		c.now += minute
	}
	_, _, err := c.LinkFor(ctx, "alex@club.example")
	is(t, err, people.ErrGone)
	c.now += 56 * minute
	_, _, err = c.LinkFor(ctx, "alex@club.example")
	is(t, err, nil)
}

func TestALinkIsHandedOver(t *testing.T) {
	c := newClub(t)
	ctx := t.Context()
	first := c.first("Robin Ashdown")
	crew := c.invited(first, coordinator, "Jo Winslade")
	helper := c.invited(first, volunteer, "Alex Marlowe")
	secret, p, err := c.HandLink(ctx, crew, helper.Person)
	if err != nil || p.Name != "Alex Marlowe" {
		t.Fatal(p, err)
	}
	in, err := c.EnterByLink(ctx, people.Caller{}, secret, "")
	is(t, err, nil)
	if got := c.caller(in); got.Person != helper.Person {
		t.Errorf("%+v", got)
	}
	for _, try := range []struct {
		by people.Caller
		to string
	}{{crew, first.Person}, {crew, crew.Person}, {helper, crew.Person}, {first, first.Person}} {
		_, _, err := c.HandLink(ctx, try.by, try.to)
		is(t, err, people.ErrRefused)
	}
	// A link that was made before somebody became an admin opens nothing any more.
	secret, _, err = c.HandLink(ctx, first, crew.Person)
	is(t, err, nil)
	invitation, _, err := c.Invite(ctx, first, admin)
	is(t, err, nil)
	_, err = c.Accept(ctx, invitation, crew, "", "", "")
	is(t, err, nil)
	_, err = c.EnterByLink(ctx, people.Caller{}, secret, "")
	is(t, err, people.ErrGone)
	first.Fresh = false
	_, _, err = c.HandLink(ctx, first, helper.Person)
	is(t, err, people.ErrStale)
}
