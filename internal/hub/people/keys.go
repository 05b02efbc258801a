package people

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// Key is a passkey of a person. What a browser's answer is held against is Data, which
// only package passkeys reads.
type Key struct {
	ID     string // as browsers name it, in base64 for addresses
	Person string
	Handle []byte // random, the same for all of one person's
	Label  string // what they call the device
	Made   entry.Millis
	Used   entry.Millis // 0: never
	Data   []byte
}

// KeysAsked is how many passkeys an admin is asked to have: a lost phone locks nobody
// out then.
const KeysAsked = 2

// handleBytes is the length of a handle: the most that there is (Web Authentication
// Level 3, 14.6.1, recommends 64 random bytes).
const handleBytes = 64

// TicketKind is what a ticket is good for.
type TicketKind string

// The kinds of ticket.
const (
	AddingKey  TicketKind = "adding_key"
	ShowingKey TicketKind = "showing_key"
	MailLink   TicketKind = "mail_link"
)

// Ticket is something that is good once, and for minutes.
type Ticket struct {
	Kind    TicketKind
	Person  string // empty: nobody in particular
	Data    []byte
	Made    entry.Millis
	Expires entry.Millis
}

// KeyStore is the part of Store about passkeys and tickets.
type KeyStore interface {
	// KeepKey keeps a passkey; ErrTaken: there is one of this id.
	KeepKey(ctx context.Context, association string, k Key, note ledgers.Note) error
	// Keys returns those of a person, the oldest first.
	Keys(ctx context.Context, association, person string) ([]Key, error)
	// Key finds one by its id; the zero Key where there is none.
	Key(ctx context.Context, association, id string) (Key, error)
	// UsedKey notes when a passkey was shown, and what it is held against next time.
	UsedKey(ctx context.Context, association, id string, data []byte, at entry.Millis) error
	// EndKey takes a passkey from its person; ErrGone: there is none.
	EndKey(ctx context.Context, association, person, id string, note ledgers.Note) error
	// KeepTicket keeps a ticket under the hash of its secret, and drops those that ended
	// more than an hour before.
	KeepTicket(ctx context.Context, association string, t Ticket, hash string) error
	// Ticket finds one that is good; ErrGone: there is none.
	Ticket(ctx context.Context, association string, kind TicketKind, hash string, at entry.Millis) (Ticket, error)
	// TakeTicket is Ticket, and nobody else gets that one.
	TakeTicket(ctx context.Context, association string, kind TicketKind, hash string, at entry.Millis) (Ticket, error)
	// Tickets counts those of a kind that a person was given after an instant.
	Tickets(ctx context.Context, association string, kind TicketKind, person string, since entry.Millis) (int, error)
}

// Issue makes a ticket that lasts for some milliseconds.
func (d *Desk) Issue(ctx context.Context, kind TicketKind, person string, data []byte, lasts entry.Millis) (secret string, err error) {
	secret, hash := d.secret()
	now := d.now()
	return secret, d.store.KeepTicket(ctx, d.association, Ticket{Kind: kind, Person: person, Data: data, Made: now, Expires: now + lasts}, hash)
}

// Take uses a ticket up. It returns ErrGone.
func (d *Desk) Take(ctx context.Context, kind TicketKind, secret string) (Ticket, error) {
	association, hash := Split(secret)
	if association != d.association {
		return Ticket{}, ErrGone
	}
	return d.store.TakeTicket(ctx, d.association, kind, hash, d.now())
}

// Keys are the passkeys of a person, the oldest first.
func (d *Desk) Keys(ctx context.Context, person string) ([]Key, error) {
	return d.store.Keys(ctx, d.association, person)
}

// Key is a passkey by its id, with its person. It returns ErrGone where there is none,
// or nobody who may sign in.
func (d *Desk) Key(ctx context.Context, id string) (Key, Person, error) {
	k, err := d.store.Key(ctx, d.association, id)
	if err != nil {
		return k, Person{}, err
	}
	p, err := d.store.Person(ctx, d.association, k.Person)
	if err == nil && (k.ID == "" || len(p.Roles) == 0) {
		err = ErrGone
	}
	return k, p, err
}

// MayAddKey returns a caller's passkeys and the handle for the next one, if they may add one: after
// a fresh sign-in, and where they have one already, by that. Otherwise whoever finds an
// open browser of somebody could make themself an admin.
func (d *Desk) MayAddKey(ctx context.Context, c Caller) (keys []Key, handle []byte, err error) {
	keys, err = d.Keys(ctx, c.Person)
	switch {
	case err != nil:
		return nil, nil, err
	case !c.Fresh, len(keys) > 0 && c.How != ByPasskey && c.How != ByLink:
		return nil, nil, ErrStale
	case len(keys) > 0:
		return keys, keys[0].Handle, nil
	}
	return nil, d.bytes(handleBytes), nil
}

// AddKey keeps a passkey that the caller has just shown; they are signed in by it from
// then on, with another secret.
func (d *Desk) AddKey(ctx context.Context, c Caller, k Key) (secret string, err error) {
	if _, _, err := d.MayAddKey(ctx, c); err != nil {
		return "", err
	}
	if k.Label, err = ReadName(k.Label); err != nil {
		return "", err
	}
	k.Person, k.Made = c.Person, d.now()
	if err := d.store.KeepKey(ctx, d.association, k, d.note(c.By(), "added_key", c.Person)); err != nil {
		return "", err
	}
	return d.prove(ctx, c, ByPasskey)
}

func (d *Desk) prove(ctx context.Context, c Caller, how How) (secret string, err error) {
	secret, hash := d.secret()
	return secret, d.store.Prove(ctx, d.association, c.Session, hash, how, d.note(c.By(), "proved", c.Session))
}

// EnterByKey signs somebody in by a passkey that was shown; data is what it is held
// against next time. Who is signed in already goes on with the same session.
func (d *Desk) EnterByKey(ctx context.Context, c Caller, k Key, p Person, data []byte, from string) (secret string, err error) {
	if err := d.store.UsedKey(ctx, d.association, k.ID, data, d.now()); err != nil {
		return "", err
	}
	return d.enter(ctx, c, p, ByPasskey, from)
}

// enter signs a person in. A session of theirs goes on; somebody else's at the same
// browser ends.
func (d *Desk) enter(ctx context.Context, c Caller, p Person, how How, from string) (secret string, err error) {
	if c.Person == p.ID {
		list, err := d.store.Sessions(ctx, d.association, p.ID)
		if err != nil {
			return "", err
		}
		for _, s := range list {
			// Twelve hours are twelve hours: who comes again after most of them begins anew.
			if s.ID == c.Session && s.Expires-d.now() > AdminIdle {
				return d.prove(ctx, c, how)
			}
		}
	}
	if c.Session != "" {
		if err := d.store.EndSession(ctx, d.association, c.Session, d.note(c.By(), "ended_session", c.Session)); err != nil {
			return "", err
		}
	}
	return d.open(ctx, p, how, office.By{Who: p.ID, From: from})
}

// EndKey takes a passkey from the caller. An admin keeps one.
func (d *Desk) EndKey(ctx context.Context, c Caller, id string) error {
	if !c.Fresh {
		return ErrStale
	}
	keys, err := d.Keys(ctx, c.Person)
	if err != nil {
		return err
	}
	if len(keys) < 2 && (c.Is(Admin) || has(c.Held, Admin)) {
		return ErrLastKey
	}
	return d.store.EndKey(ctx, d.association, c.Person, id, d.note(c.By(), "ended_key", c.Person))
}
