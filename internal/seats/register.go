package seats

import (
	"errors"
	"io"
	"slices"
	"sync"

	"whistlestop/game/entry"
)

// How long things last, in milliseconds.
const (
	inviteLasts  entry.Millis = 10 * 60_000      // OWASP ASVS 5.0, 6.6: at most ten minutes
	requestLasts entry.Millis = 10 * 60_000      // as the invite
	sessionLasts entry.Millis = 24 * 3600 * 1000 // ours: a tournament day, and never the next one
	sessionIdle  entry.Millis = 6 * 3600 * 1000  // ours: longer than from one game of a day to the next
)

// How many there may be at once, in all and for one game (ours).
const (
	invitesMost  = 24
	requestsMost = 16
	sessionsMost = 48
	sessionsGame = 16
)

// What the register says against a wish.
var (
	// ErrNoCode: no open invite has this code or token. Used, expired, burnt and
	// wrong ones look alike to whoever asks.
	ErrNoCode = errors.New("no open invite has this code")
	// ErrMissing: there is no such invite, request or session.
	ErrMissing = errors.New("there is no such thing")
	// ErrFull: there are too many requests or sessions.
	ErrFull = errors.New("there are too many")
	// ErrRole: no such seat can be given.
	ErrRole = errors.New("no such seat can be given")
	// ErrWaiting: nobody at the bench has decided yet.
	ErrWaiting = errors.New("the bench has not decided yet")
	// ErrRefused: somebody at the bench refused.
	ErrRefused = errors.New("the bench refused")
	// ErrExpired: the request is over.
	ErrExpired = errors.New("the request is over")
	// ErrTooSoon: the request asks again too soon.
	ErrTooSoon = errors.New("asked again too soon")
	// ErrNotKept: it holds now, and may be forgotten when the program is started
	// again.
	ErrNotKept = errors.New("it was not saved")
)

// Role is what a device may be: a seat, and for the box and the shots a side.
// Without a side it is both.
type Role struct {
	Seat entry.Seat `json:"seat"`
	Side entry.Side `json:"side" contract:"Side?"`
}

// Valid reports whether the role can be given to a device.
func (r Role) Valid() bool {
	if r.Side != "" && r.Side != entry.Home && r.Side != entry.Visitors {
		return false
	}
	switch r.Seat {
	case entry.BoxSeat, entry.ShotsSeat:
		return true
	case entry.ClockSeat, entry.BookSeat, entry.VoiceSeat:
		return r.Side == ""
	case entry.Solo, entry.Program:
		return false // the bench itself
	}
	return false
}

// Config is what a register needs of the world.
type Config struct {
	// Now is the register's own time in milliseconds: it only goes on, also over
	// restarts, so that no setting of the computer's clock ends a session or lets
	// one last longer.
	Now   func() entry.Millis
	Shown entry.Millis // by how much the time that people are shown is ahead of it

	Random io.Reader
	Keep   func(sessions []byte) error // saves the sessions; may be nil

	// KeepHanded saves what devices handed over after their seat was taken away;
	// may be nil.
	KeepHanded func(handed []byte) error

	// KeepFormers saves whose seat was taken away lately; may be nil.
	KeepFormers func(formers []byte) error
}

// Register is all invites, requests and sessions. It is safe for use by many
// goroutines.
type Register struct {
	now   func() entry.Millis
	shown entry.Millis
	keep  func([]byte) error
	secrets

	keepHanded  func([]byte) error
	keepFormers func([]byte) error

	mutex    sync.Mutex
	invites  []*invite
	requests []*request
	sessions []*Session
	formers  []former
	handed   []Handed
	guesses  guesses
	watches  map[*Watch]bool
}

// New returns a register without anybody.
func New(c Config) *Register {
	return &Register{
		now: c.Now, shown: c.Shown, keep: c.Keep, keepHanded: c.KeepHanded, keepFormers: c.KeepFormers, secrets: secrets{random: c.Random},
		watches: map[*Watch]bool{},
	}
}

// sweep forgets what is over. The caller holds the mutex.
func (r *Register) sweep() {
	now := r.now()
	r.invites = slices.DeleteFunc(r.invites, func(i *invite) bool {
		gone := now >= i.Expires
		if gone {
			r.tell(i.Game)
		}
		return gone
	})
	r.requests = slices.DeleteFunc(r.requests, func(q *request) bool {
		gone := now >= q.Asked+requestLasts
		if gone {
			q.decide(expired)
			r.tell(q.Game)
		}
		return gone
	})
	r.sessions = slices.DeleteFunc(r.sessions, func(s *Session) bool {
		gone := now >= s.Since+sessionLasts || s.Open == 0 && now >= s.Heard+sessionIdle
		if gone {
			r.dismiss(s)
			r.tell(s.Game)
		}
		return gone
	})
	r.formers = slices.DeleteFunc(r.formers, func(f former) bool { return now >= f.until })
}

// Watch tells that the seats of a game changed.
type Watch struct {
	changed chan struct{}
	game    string
	leave   func()
}

// Changed gets a value after a change. Several changes may come as one.
func (w *Watch) Changed() <-chan struct{} { return w.changed }

// Close ends the watch.
func (w *Watch) Close() { w.leave() }

// Watch follows the seats of a game until the watch is closed.
func (r *Register) Watch(game string) *Watch {
	w := &Watch{changed: make(chan struct{}, 1), game: game}
	w.leave = func() {
		r.mutex.Lock()
		defer r.mutex.Unlock()
		delete(r.watches, w)
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.watches[w] = true
	return w
}

// tell wakes those who follow the game. The caller holds the mutex.
func (r *Register) tell(game string) {
	for w := range r.watches {
		if w.game != game {
			continue
		}
		select {
		case w.changed <- struct{}{}:
		default: // it has yet to look after the change before
		}
	}
}
