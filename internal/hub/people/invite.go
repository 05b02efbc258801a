package people

import (
	"context"
	"errors"
)

// Invite keeps a place for somebody, for seven days and once. The secret is nowhere
// else: it is shown now or never. It returns ErrRefused for a role that the caller may
// not give, and ErrStale.
func (d *Desk) Invite(ctx context.Context, c Caller, to Membership) (secret string, i Invitation, err error) {
	switch {
	case !c.MayGive(to):
		return "", i, ErrRefused
	case !c.Fresh:
		return "", i, ErrStale
	}
	secret, hash := d.secret()
	now := d.now()
	i = Invitation{ID: d.id(), To: to, Inviter: c.Person, Made: now, Expires: now + InvitationLasts}
	return secret, i, d.store.Invite(ctx, d.association, i, hash, d.note(c.By(), "invited", i.ID))
}

// Invited is the invitation of a secret while it is good, and who invites. An
// invitation is worth nothing any more once its inviter may not give what is in it.
// It returns ErrGone.
func (d *Desk) Invited(ctx context.Context, secret string) (i Invitation, inviter Person, err error) {
	association, hash := Split(secret)
	if association != d.association {
		return i, inviter, ErrGone
	}
	if i, err = d.store.Invitation(ctx, d.association, hash); err != nil {
		return i, inviter, err
	}
	if !i.good(d) {
		return Invitation{}, inviter, ErrGone
	}
	if inviter, err = d.store.Person(ctx, d.association, i.Inviter); err != nil {
		return i, inviter, err
	}
	if !(Caller{Roles: inviter.Roles}).MayGive(i.To) {
		return Invitation{}, Person{}, ErrGone
	}
	return i, inviter, nil
}

func (i Invitation) good(d *Desk) bool { return i.ID != "" && i.Ended == 0 && d.now() < i.Expires }

// Accept uses an invitation up: somebody new, or whoever is signed in, has its role. It
// opens a session for somebody new; for who is signed in the secret is empty.
func (d *Desk) Accept(ctx context.Context, secret string, c Caller, name, address, from string) (session string, err error) {
	i, _, err := d.Invited(ctx, secret)
	if err != nil {
		return "", err
	}
	j := Joining{Membership: []Membership{i.To}, Invitation: i.ID}
	by := c.By()
	if c.Person != "" {
		j.Person.ID = c.Person
	} else {
		j.Person = Person{ID: d.id(), Made: d.now()}
		if j.Person.Name, err = ReadName(name); err != nil {
			return "", err
		}
		if j.Person.Address, err = ReadAddress(address); err != nil {
			return "", err
		}
		session, j.Session, j.Hash = d.session(j.Person.ID, ByInvite, i.To.Role == Admin)
		by.Who, by.From = j.Person.ID, from
	}
	err = d.store.Join(ctx, d.association, j, d.note(by, "accepted", i.ID))
	if errors.Is(err, ErrTaken) {
		return "", err
	}
	return session, err
}

// Invitations are those that are good and that the caller could have made, the newest
// first.
func (d *Desk) Invitations(ctx context.Context, c Caller) (list []Invitation, err error) {
	all, err := d.store.Invitations(ctx, d.association)
	for _, i := range all {
		if i.good(d) && (i.Inviter == c.Person || c.MayGive(i.To)) {
			list = append(list, i)
		}
	}
	return list, err
}

// EndInvitation takes an invitation back.
func (d *Desk) EndInvitation(ctx context.Context, c Caller, id string) error {
	list, err := d.Invitations(ctx, c)
	if err != nil {
		return err
	}
	for _, i := range list {
		if i.ID == id {
			return d.store.EndInvitation(ctx, d.association, id, d.note(c.By(), "took_back_invitation", id))
		}
	}
	return ErrGone
}
