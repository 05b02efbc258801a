package people

import (
	"context"
	"errors"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// Person is somebody of an association.
type Person struct {
	ID      string // random
	Name    string // as they typed it
	Address string // for mail; empty: none
	Made    entry.Millis
	Roles   []Membership
}

// Is reports whether the person has a role.
func (p Person) Is(role Role) bool { return has(p.Roles, role) }

// On is the person as something that somebody else may read or change.
func (p Person) On() On {
	on := On{People: []string{p.ID}}
	for _, m := range p.Roles {
		if m.Role == Manager {
			on.Teams = append(on.Teams, Team{m.Team, m.Division})
		}
	}
	// A coordinator's crew is who is nothing but a volunteer: whoever signs in as more
	// is not the coordinator's to change.
	on.Crew = len(p.Roles) == 1 && p.Roles[0].Role == Volunteer
	if len(p.Roles) > 1 {
		on.Teams = nil // nor is a manager of two teams one manager's
	}
	return on
}

// Invitation is a place that is kept for somebody: role and association are fixed in it.
type Invitation struct {
	ID      string
	To      Membership
	Inviter string // id of the person; office.Here: a command
	Made    entry.Millis
	Expires entry.Millis
	Ended   entry.Millis // when it was used or taken back; 0: neither
}

// How a session was opened.
type How string

// The ways to sign in.
const (
	ByLink    How = "link"    // printed at the hub's computer
	ByInvite  How = "invite"  // the invitation itself
	ByPasskey How = "passkey" // or a passkey was added in it
	ByMail    How = "mail"    // a link that was sent, or handed over by somebody who may
	ByOther   How = "other"   // another service said who it is
)

// Session is a browser in which somebody is signed in. Times are milliseconds of Unix
// time.
type Session struct {
	ID      string
	Person  string
	How     How
	Made    entry.Millis
	Seen    entry.Millis // when it was used last, within a minute
	Proved  entry.Millis // when they showed last who they are
	Expires entry.Millis
	Ended   entry.Millis // 0: nobody ended it
}

// Store keeps people. Every question names the association; what it changes survives
// a power cut once it returns, and stands with its line in the log or not at all.
type Store interface {
	KeyStore
	ForgetStore
	OtherStore
	// Note writes a line of the log.
	Note(ctx context.Context, association string, note ledgers.Note) error

	// Person returns one with their roles; the zero Person where there is none.
	Person(ctx context.Context, association, id string) (Person, error)
	// Everybody returns all, by name.
	Everybody(ctx context.Context, association string) ([]Person, error)
	// Join makes a person, or gives one that is there a role, and opens a session if
	// its id is set. Where invitation is set, that one is used up with it: it returns
	// ErrGone where it was used, has ended or expired by the note's time.
	Join(ctx context.Context, association string, j Joining, note ledgers.Note) error
	// Correct gives a person another name and address. It returns ErrTaken where the
	// address is somebody else's.
	Correct(ctx context.Context, association string, p Person, note ledgers.Note) error
	// Leave takes a role from a person, and ends their sessions if it was the last. It
	// returns ErrLastAdmin for the only admin, and ErrGone where there is no such role.
	Leave(ctx context.Context, association, person string, m Membership, note ledgers.Note) error

	// Invite keeps an invitation under the hash of its secret.
	Invite(ctx context.Context, association string, i Invitation, hash string, note ledgers.Note) error
	// Invitation finds one by the hash of its secret; the zero Invitation: there is none.
	Invitation(ctx context.Context, association, hash string) (Invitation, error)
	// Invitations returns all, the newest first.
	Invitations(ctx context.Context, association string) ([]Invitation, error)
	// EndInvitation takes one back. It returns ErrGone where nothing is left to take.
	EndInvitation(ctx context.Context, association, id string, note ledgers.Note) error

	// Open keeps a session under the hash of its secret.
	Open(ctx context.Context, association string, s Session, hash string, note ledgers.Note) error
	// Session finds one by the hash of its secret; the zero Session: there is none.
	Session(ctx context.Context, association, hash string) (Session, error)
	// Sessions returns those of a person, or of everybody where it is empty, the newest
	// first.
	Sessions(ctx context.Context, association, person string) ([]Session, error)
	// SeenAt notes when a session was used.
	SeenAt(ctx context.Context, association, id string, at entry.Millis) error
	// Prove notes that who is signed in showed who they are, and how; the session has
	// another secret from then on.
	Prove(ctx context.Context, association, id, hash string, how How, note ledgers.Note) error
	// EndSession ends one. It returns ErrGone where there is none to end.
	EndSession(ctx context.Context, association, id string, note ledgers.Note) error
}

// Joining is somebody who becomes a member.
type Joining struct {
	Person     Person // without roles
	Membership []Membership
	Invitation string // id; empty: by a command
	Session    Session
	Hash       string // of the session's secret
}

// The errors that a store and the desk return beside those of the disk.
var (
	// ErrGone says that something was used, ended, or never was there: the same answer.
	ErrGone = errors.New("there is no such thing any more")
	// ErrRefused says that the caller may not do that.
	ErrRefused = errors.New("the caller may not do that")
	// ErrStale says that the caller must show again who they are.
	ErrStale = errors.New("the sign-in is not fresh")
	// ErrLastAdmin says that an association would have no admin.
	ErrLastAdmin = errors.New("the last admin stays")
	// ErrLastKey says that an admin would have no passkey.
	ErrLastKey = errors.New("an admin keeps a passkey")
	// ErrTaken says that an address is somebody else's already.
	ErrTaken = errors.New("the address is somebody else's")
	// ErrBad says that a name or an address cannot be one.
	ErrBad = errors.New("not a name or an address")
)
