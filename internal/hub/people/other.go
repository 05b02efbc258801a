package people

import (
	"context"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// Identity is who somebody is at another service. Issuer and subject are who it is; an
// address of mail would be of whoever has it next.
type Identity struct {
	Issuer, Subject string
	Person          string
	Made            entry.Millis
}

// OtherStore is the part of Store about other services.
type OtherStore interface {
	// KeepIdentity links one with its person; ErrTaken: it is linked with somebody.
	KeepIdentity(ctx context.Context, association string, i Identity, note ledgers.Note) error
	// Identity finds one; the zero Identity where there is none.
	Identity(ctx context.Context, association, issuer, subject string) (Identity, error)
	// Identities returns those of a person, the oldest first.
	Identities(ctx context.Context, association, person string) ([]Identity, error)
	// EndIdentities takes all of an issuer from a person; ErrGone: there is none.
	EndIdentities(ctx context.Context, association, person, issuer string, note ledgers.Note) error
}

// OtherSignIn is a ticket of whoever went to another service to sign in, or to be linked
// with whom they are there.
const OtherSignIn TicketKind = "other_sign_in"

// OtherLasts is for how long somebody may stay away there.
const OtherLasts = entry.Millis(10 * time.Minute / time.Millisecond)

// Identities are those of a person.
func (d *Desk) Identities(ctx context.Context, person string) ([]Identity, error) {
	return d.store.Identities(ctx, d.association, person)
}

// LinkIdentity links the caller with whom another service says they are. It
// returns ErrStale for whoever could not add a passkey, and ErrTaken.
func (d *Desk) LinkIdentity(ctx context.Context, c Caller, issuer, subject string) error {
	// As with passkeys: whoever finds an open browser of somebody must not stay in.
	if _, _, err := d.MayAddKey(ctx, c); err != nil {
		return err
	}
	known, err := d.store.Identity(ctx, d.association, issuer, subject)
	switch {
	case err != nil:
		return err
	case known.Person == c.Person:
		return nil
	}
	i := Identity{Issuer: issuer, Subject: subject, Person: c.Person, Made: d.now()}
	return d.store.KeepIdentity(ctx, d.association, i, d.note(c.By(), "linked_other", c.Person))
}

// EndIdentities takes what links the caller with a service away.
func (d *Desk) EndIdentities(ctx context.Context, c Caller, issuer string) error {
	if !c.Fresh {
		return ErrStale
	}
	return d.store.EndIdentities(ctx, d.association, c.Person, issuer, d.note(c.By(), "ended_other", c.Person))
}

// EnterByOther signs in whom another service vouches for. Whoever is not linked with
// anybody here gets ErrGone: nobody becomes a member so. Admins get ErrRefused where no
// browser can have a passkey (keyed is false): elsewhere they are held until they show
// theirs.
func (d *Desk) EnterByOther(ctx context.Context, c Caller, issuer, subject string, keyed bool, from string) (secret string, err error) {
	i, err := d.store.Identity(ctx, d.association, issuer, subject)
	if err != nil {
		return "", err
	}
	p, err := d.store.Person(ctx, d.association, i.Person)
	switch {
	case err != nil:
		return "", err
	case i.Person == "" || len(p.Roles) == 0:
		return "", ErrGone
	case p.Is(Admin) && !keyed:
		return "", ErrRefused
	}
	return d.enter(ctx, c, p, ByOther, from)
}
