package people

import (
	"context"
	"time"

	"whistlestop/game/entry"
)

// A link that signs in lasts 15 minutes and works once; somebody is given five an hour
// (section 8 of the hub's requirements).
const (
	LinkLasts    = entry.Millis(15 * time.Minute / time.Millisecond)
	linksAnHour  = 5
	linksCounted = entry.Millis(time.Hour / time.Millisecond)
)

// Sender brings a letter to somebody. It returns when the letter is on the disk to be
// sent.
type Sender interface {
	SignIn(ctx context.Context, m SignInMail) error
}

// SignInMail is a letter with a link that signs in.
type SignInMail struct {
	Association     string // id
	AssociationName string
	Address         string // of whom it is for
	Name            string
	Link            string // whole
	Language        string // tag, as the browser asked
	Ends            entry.Millis
}

// LinkFor makes a link for whoever has an address. It returns ErrGone where nobody has
// it who may sign in so, or where they were given enough: the page says the same to
// all. Mail alone is no second factor, so an admin gets none.
func (d *Desk) LinkFor(ctx context.Context, address string) (secret string, p Person, err error) {
	all, err := d.Everybody(ctx)
	if err != nil {
		return "", p, err
	}
	for _, one := range all {
		if address != "" && one.Address == address {
			p = one
		}
	}
	return d.link(ctx, p)
}

func (d *Desk) link(ctx context.Context, p Person) (secret string, _ Person, err error) {
	if p.ID == "" || len(p.Roles) == 0 || p.Is(Admin) {
		return "", Person{}, ErrGone
	}
	given, err := d.store.Tickets(ctx, d.association, MailLink, p.ID, d.now()-linksCounted)
	if err == nil && given >= linksAnHour {
		err = ErrGone
	}
	if err != nil {
		return "", Person{}, err
	}
	secret, err = d.Issue(ctx, MailLink, p.ID, nil, LinkLasts)
	return secret, p, err
}

// HandLink makes a link that signs somebody in for a caller to hand over, where no
// mail goes out: for those whom the caller may change, and for no admin.
func (d *Desk) HandLink(ctx context.Context, c Caller, person string) (secret string, p Person, err error) {
	if p, err = d.mayChange(ctx, c, person); err != nil {
		return "", p, err
	}
	for _, m := range p.Roles {
		if m.Role == Admin || !c.MayGive(m) {
			return "", p, ErrRefused
		}
	}
	if secret, p, err = d.link(ctx, p); err != nil {
		return "", p, err
	}
	return secret, p, d.store.Note(ctx, d.association, d.note(c.By(), "handed_link", p.ID))
}

// LinkGood returns ErrGone where a link has ended.
func (d *Desk) LinkGood(ctx context.Context, secret string) error {
	association, hash := Split(secret)
	if association != d.association {
		return ErrGone
	}
	_, err := d.store.Ticket(ctx, d.association, MailLink, hash, d.now())
	return err
}

// EnterByLink uses a link up and signs its person in.
func (d *Desk) EnterByLink(ctx context.Context, c Caller, secret, from string) (session string, err error) {
	t, err := d.Take(ctx, MailLink, secret)
	if err != nil {
		return "", err
	}
	p, err := d.store.Person(ctx, d.association, t.Person)
	if err != nil {
		return "", err
	}
	if len(p.Roles) == 0 || p.Is(Admin) { // since the link was made
		return "", ErrGone
	}
	return d.enter(ctx, c, p, ByMail, from)
}
