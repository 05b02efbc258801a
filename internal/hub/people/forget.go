package people

import (
	"context"
	"errors"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// How long things are kept, in milliseconds (section 9 of the hub's requirements for the
// log; the rest is ours).
const (
	LogKept   = entry.Millis(730 * 24 * time.Hour / time.Millisecond) // 24 months
	EndedKept = entry.Millis(90 * 24 * time.Hour / time.Millisecond)  // sessions, invitations
)

// Deletion is somebody whom somebody deleted: the id is all that is kept.
type Deletion struct {
	Association string       `json:"association"`
	Person      string       `json:"person"`
	At          entry.Millis `json:"at_ms"`
}

// ForgetStore is the part of Store about what goes.
type ForgetStore interface {
	// Forget deletes a person with roles, sessions, passkeys and tickets, and keeps the
	// id in the list of deletions. It returns ErrGone where there is none, and
	// ErrLastAdmin unless last says that the last admin goes too.
	Forget(ctx context.Context, association, person string, last bool, note ledgers.Note) error
	// Deletions returns the list, the oldest first.
	Deletions(ctx context.Context, association string) ([]Deletion, error)
	// Prune drops the beginning of the log, up to the first line of an instant, and
	// sessions, invitations and tickets that ended before another. It returns how many
	// lines of the log went; only then it writes its own.
	Prune(ctx context.Context, association string, logBefore, endedBefore entry.Millis, note ledgers.Note) (int, error)
}

// Forget deletes somebody: the caller themself, or whom they may change.
func (d *Desk) Forget(ctx context.Context, c Caller, id string) error {
	switch {
	case !c.Fresh:
		return ErrStale
	case id != c.Person:
		p, err := d.mayChange(ctx, c, id)
		if err != nil {
			return err
		}
		for _, m := range p.Roles {
			if !c.MayGive(m) {
				return ErrRefused
			}
		}
	}
	return d.store.Forget(ctx, d.association, id, false, d.note(c.By(), "deleted", id))
}

// Reapply deletes once more whom a list names, after an older copy was restored. It
// returns how many were there again.
func (d *Desk) Reapply(ctx context.Context, list []Deletion) (again int, err error) {
	for _, one := range list {
		if one.Association != d.association {
			continue
		}
		switch err := d.store.Forget(ctx, d.association, one.Person, true, d.note(office.By{Who: office.Here}, "deleted_again", one.Person)); {
		case err == nil:
			again++
		case !errors.Is(err, ErrGone):
			return again, err
		}
	}
	return again, nil
}

// Deletions is the list of who was deleted.
func (d *Desk) Deletions(ctx context.Context) ([]Deletion, error) {
	return d.store.Deletions(ctx, d.association)
}

// Did notes in the log what a caller did.
func (d *Desk) Did(ctx context.Context, c Caller, what string) error {
	return d.store.Note(ctx, d.association, d.note(c.By(), what, ""))
}

// Prune drops what is kept no longer. It is meant to be asked once a day.
func (d *Desk) Prune(ctx context.Context) error {
	now := d.now()
	_, err := d.store.Prune(ctx, d.association, now-LogKept, now-EndedKept, d.note(office.By{Who: office.Here}, "pruned", ""))
	return err
}

// Kept is all that is kept of somebody.
type Kept struct {
	Person   Person
	Sessions []Session
	Keys     []Key
	Others   []Identity
}

// Kept is all that is kept of the caller.
func (d *Desk) Kept(ctx context.Context, c Caller) (own Kept, err error) {
	if own.Person, err = d.store.Person(ctx, d.association, c.Person); err != nil {
		return own, err
	}
	if own.Sessions, err = d.store.Sessions(ctx, d.association, c.Person); err != nil {
		return own, err
	}
	if own.Keys, err = d.Keys(ctx, c.Person); err != nil {
		return own, err
	}
	own.Others, err = d.Identities(ctx, c.Person)
	return own, err
}
