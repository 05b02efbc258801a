package people

import (
	"context"
	"io"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// How long things last, in milliseconds (section 8 of the hub's requirements; the
// quarter of an hour is ours).
const (
	InvitationLasts = entry.Millis(7 * 24 * time.Hour / time.Millisecond)
	AdminLasts      = entry.Millis(12 * time.Hour / time.Millisecond)
	AdminIdle       = entry.Millis(time.Hour / time.Millisecond)
	OthersLast      = entry.Millis(90 * 24 * time.Hour / time.Millisecond)
	FreshFor        = entry.Millis(15 * time.Minute / time.Millisecond)
	seenEvery       = entry.Millis(time.Minute / time.Millisecond)
)

// Desk is the people of one association. It is safe for use by many goroutines.
type Desk struct {
	store       Store
	association string
	now         func() entry.Millis
	random      io.Reader
}

// New returns the people of an association. now tells the time in milliseconds of Unix
// time; random cannot be guessed.
func New(store Store, association string, now func() entry.Millis, random io.Reader) *Desk {
	return &Desk{store, association, now, random}
}

func (d *Desk) note(by office.By, what, object string) ledgers.Note {
	return ledgers.Note{At: d.now(), Who: by.Who, What: what, Object: object, From: by.From}
}

// Everybody returns all people of the association, by name.
func (d *Desk) Everybody(ctx context.Context) ([]Person, error) {
	return d.store.Everybody(ctx, d.association)
}

// Seen returns the people that a caller may read, by name.
func (d *Desk) Seen(ctx context.Context, c Caller) (list []Person, err error) {
	all, err := d.Everybody(ctx)
	for _, p := range all {
		if p.ID == c.Person || c.May(ReadPeople, p.On()) {
			list = append(list, p)
		}
	}
	return list, err
}

// First is whoever took the link that the hub's computer printed. They are the admin
// of that name, or a new one; who begins an association coordinates its crew as well,
// until somebody else does. It opens a session.
func (d *Desk) First(ctx context.Context, typed, from string) (secret string, err error) {
	name, err := ReadName(typed)
	if err != nil {
		return "", err
	}
	all, err := d.Everybody(ctx)
	if err != nil {
		return "", err
	}
	by := office.By{From: from}
	for _, p := range all {
		if p.Name == name && p.Is(Admin) {
			by.Who = p.ID
			return d.open(ctx, p, ByLink, by)
		}
	}
	p := Person{ID: d.id(), Name: name, Made: d.now()}
	j := Joining{Person: p, Membership: []Membership{{Role: Admin}, {Role: Coordinator}}}
	secret, j.Session, j.Hash = d.session(p.ID, ByLink, true)
	by.Who = p.ID
	return secret, d.store.Join(ctx, d.association, j, d.note(by, "joined", p.ID))
}

// session is a new session that is not kept yet.
func (d *Desk) session(person string, how How, admin bool) (secret string, s Session, hash string) {
	secret, hash = d.secret()
	now, lasts := d.now(), OthersLast
	if admin {
		lasts = AdminLasts
	}
	return secret, Session{ID: d.id(), Person: person, How: how, Made: now, Seen: now, Proved: now, Expires: now + lasts}, hash
}

// open signs somebody in.
func (d *Desk) open(ctx context.Context, p Person, how How, by office.By) (secret string, err error) {
	secret, s, hash := d.session(p.ID, how, p.Is(Admin))
	return secret, d.store.Open(ctx, d.association, s, hash, d.note(by, "made_session", s.ID))
}

// Known is who is signed in with a secret. Admins who came in by something that could
// be copied are not that until they have shown a passkey, if keyed says that browsers
// can have one here. It returns ErrGone for every secret that is good for nothing.
func (d *Desk) Known(ctx context.Context, secret, from string, keyed bool) (Caller, error) {
	association, hash := Split(secret)
	if association != d.association {
		return Caller{}, ErrGone
	}
	s, err := d.store.Session(ctx, d.association, hash)
	if err != nil {
		return Caller{}, err
	}
	p, err := d.store.Person(ctx, d.association, s.Person)
	if err != nil {
		return Caller{}, err
	}
	now := d.now()
	if p.ID == "" || !s.good(p, now) {
		return Caller{}, ErrGone
	}
	if now-s.Seen >= seenEvery {
		if err := d.store.SeenAt(ctx, d.association, s.ID, now); err != nil {
			return Caller{}, err
		}
	}
	c := Caller{
		Association: d.association, Person: p.ID, Name: p.Name, Session: s.ID, How: s.How, Fresh: now-s.Proved < FreshFor, From: from,
	}
	for _, m := range p.Roles {
		if keyed && m.Role == Admin && s.How != ByPasskey && s.How != ByLink {
			c.Held = append(c.Held, m)
		} else {
			c.Roles = append(c.Roles, m)
		}
	}
	return c, nil
}

// good reports whether a session of a person still counts. Whoever became an admin
// since it was opened has an admin's times from then on.
func (s Session) good(p Person, now entry.Millis) bool {
	if s.ID == "" || s.Ended != 0 || len(p.Roles) == 0 || now >= s.Expires {
		return false
	}
	return !p.Is(Admin) || now-s.Made < AdminLasts && now-s.Seen < AdminIdle
}

// Sessions are those that still count of a person, or of everybody whom the caller may
// change, the newest first.
func (d *Desk) Sessions(ctx context.Context, c Caller, person string) ([]Session, error) {
	list, err := d.store.Sessions(ctx, d.association, person)
	if err != nil {
		return nil, err
	}
	all, err := d.Everybody(ctx)
	if err != nil {
		return nil, err
	}
	byID := map[string]Person{}
	for _, p := range all {
		byID[p.ID] = p
	}
	var good []Session
	for _, s := range list {
		if p := byID[s.Person]; s.good(p, d.now()) && (p.ID == c.Person || c.May(ChangePeople, p.On())) {
			good = append(good, s)
		}
	}
	return good, nil
}

// SignedIn reports whether anybody is.
func (d *Desk) SignedIn(ctx context.Context) (bool, error) {
	list, err := d.store.Sessions(ctx, d.association, "")
	if err != nil {
		return false, err
	}
	for _, s := range list {
		p, err := d.store.Person(ctx, d.association, s.Person)
		if err != nil || s.good(p, d.now()) {
			return err == nil, err
		}
	}
	return false, nil
}

// EndSession ends a session of the caller's own, or of somebody whom they may change.
func (d *Desk) EndSession(ctx context.Context, c Caller, id string) error {
	list, err := d.Sessions(ctx, c, "")
	if err != nil {
		return err
	}
	for _, s := range list {
		if s.ID == id {
			return d.store.EndSession(ctx, d.association, id, d.note(c.By(), "ended_session", id))
		}
	}
	return ErrGone
}

// mayChange finds a person whom the caller may change, with a fresh sign-in.
func (d *Desk) mayChange(ctx context.Context, c Caller, id string) (Person, error) {
	p, err := d.store.Person(ctx, d.association, id)
	switch {
	case err != nil:
		return p, err
	case p.ID == "":
		return p, ErrGone
	case !c.May(ChangePeople, p.On()):
		return p, ErrRefused
	case !c.Fresh:
		return p, ErrStale
	}
	return p, nil
}

// Correct gives somebody another name and address: themself, or whom the caller may
// change.
func (d *Desk) Correct(ctx context.Context, c Caller, id, name, address string) error {
	var err error
	p := Person{ID: id}
	if id != c.Person {
		if _, err := d.mayChange(ctx, c, id); err != nil {
			return err
		}
	} else if !c.Fresh {
		return ErrStale
	}
	if p.Name, err = ReadName(name); err != nil {
		return err
	}
	if p.Address, err = ReadAddress(address); err != nil {
		return err
	}
	return d.store.Correct(ctx, d.association, p, d.note(c.By(), "corrected", id))
}

// End takes a role from somebody; with the last one their sessions end.
func (d *Desk) End(ctx context.Context, c Caller, id string, m Membership) error {
	if _, err := d.mayChange(ctx, c, id); err != nil {
		return err
	}
	if !c.MayGive(m) {
		return ErrRefused // nor may they take it
	}
	return d.store.Leave(ctx, d.association, id, m, d.note(c.By(), "ended_role", id))
}
