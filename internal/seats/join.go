package seats

import (
	"context"
	"fmt"
	"slices"

	"whistlestop/game/entry"
)

// Invite is a seat that is offered, once.
type Invite struct {
	ID string `json:"id"`
	Role
	Expires entry.Millis `json:"expires_ms"`
	Burnt   bool         `json:"burnt"` // the code was guessed at too often; the link still holds
}

// Offer is an invite with its secrets, which are told once.
type Offer struct {
	Invite
	Code  string // as people read it: BCDF-GHJK
	Token string // for the link of the QR code
}

type invite struct {
	Invite
	Game        string
	code, token hash
	misses      int
}

// Request is a device that asks to be a seat.
type Request struct {
	ID     string `json:"id"`
	Device string `json:"device"`
	Role
	Check string       `json:"check"` // two digits, shown on the device and at the bench
	From  string       `json:"from"`  // the address that it asks from
	Asked entry.Millis `json:"asked_ms"`
}

// Asked is a request as the device gets it.
type Asked struct {
	Request
	Game   string
	Secret string // only who has it hears the answer
}

// decision is what became of a request.
type decision int

const (
	waiting decision = iota
	approved
	refused
	expired
)

type request struct {
	Request
	Game    string
	secret  hash
	state   decision
	session *Session      // once approved and fetched
	changed chan struct{} // closed when state changes or a newer poll takes over
	polls   int           // since polled
	polled  entry.Millis
}

func (q *request) decide(d decision) {
	q.state = d
	q.wake()
}

// wake ends the polls that wait.
func (q *request) wake() {
	close(q.changed)
	q.changed = make(chan struct{})
}

// Invite offers a role at a game. When there are too many, the oldest goes.
func (r *Register) Invite(game string, role Role) (Offer, error) {
	if !role.Valid() {
		return Offer{}, ErrRole
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	if len(r.invites) >= invitesMost {
		r.tell(r.invites[0].Game)
		r.invites = slices.Delete(r.invites, 0, 1)
	}
	code, token := r.code(), r.token()
	made := Invite{ID: r.id(), Role: role, Expires: r.now() + inviteLasts}
	r.invites = append(r.invites, &invite{Invite: made, Game: game, code: hashOf(code), token: hashOf(token)})
	r.tell(game)
	return Offer{Invite: r.show(made), Code: shown(code), Token: token}, nil
}

// Withdraw takes an invite back.
func (r *Register) Withdraw(game, id string) error {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	at := slices.IndexFunc(r.invites, func(i *invite) bool { return i.Game == game && i.ID == id })
	if at < 0 {
		return ErrMissing
	}
	r.invites = slices.Delete(r.invites, at, at+1)
	r.tell(game)
	return nil
}

// JoinByToken asks for the seat of an invite with the token of its link.
func (r *Register) JoinByToken(token, device, from string) (Asked, error) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	return r.join(func(i *invite) bool { return i.token.is(token) }, device, from)
}

// JoinByCode asks for the seat of an invite with the code that was typed. A code
// that misses counts against every code that it could have been. It returns a
// *WaitError while nobody may type.
func (r *Register) JoinByCode(typed, device, from string) (Asked, error) {
	code, is := plainCode(typed)
	if !is {
		return Asked{}, fmt.Errorf("a code has eight letters: %w", ErrNoCode)
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	now := r.now()
	if err := r.guesses.wait(now); err != nil {
		return Asked{}, err
	}
	asked, err := r.join(func(i *invite) bool { return i.code.is(code) && !i.Burnt }, device, from)
	switch err {
	case nil:
		r.guesses.hit()
	case ErrNoCode:
		r.guesses.miss(now)
		for _, i := range r.invites {
			if i.misses++; i.misses == codeMisses {
				i.Burnt = true
				r.tell(i.Game)
			}
		}
	}
	return asked, err
}

// join uses up the invite that fits and makes a request of it.
func (r *Register) join(fits func(*invite) bool, device, from string) (Asked, error) {
	at := -1
	for i, one := range r.invites { // all of them, so that the time does not tell which
		if fits(one) {
			at = i
		}
	}
	if at < 0 {
		return Asked{}, ErrNoCode
	}
	if len(r.requests) >= requestsMost {
		return Asked{}, ErrFull
	}
	used := r.invites[at]
	r.invites = slices.Delete(r.invites, at, at+1)
	secret := r.token()
	q := &request{
		Request: Request{
			ID: r.id(), Device: deviceName(device), Role: used.Role, Check: r.check(),
			From: from, Asked: r.now(),
		},
		Game: used.Game, secret: hashOf(secret), changed: make(chan struct{}),
	}
	r.requests = append(r.requests, q)
	r.tell(q.Game)
	return Asked{Request: q.Request, Game: q.Game, Secret: secret}, nil
}

// check returns two digits that no other request has.
func (r *Register) check() string {
	for {
		check := fmt.Sprintf("%02d", r.below(100))
		if !slices.ContainsFunc(r.requests, func(q *request) bool { return q.Check == check }) {
			return check
		}
	}
}

// Approve lets a device be a seat: another one than it asked for if role says
// so.
func (r *Register) Approve(game, id string, role Role) error {
	return r.decide(game, id, func(q *request) error {
		if role.Seat != "" {
			if !role.Valid() {
				return ErrRole
			}
			q.Role = role
		}
		inGame := 0
		for _, s := range r.sessions {
			if s.Game == game {
				inGame++
			}
		}
		if len(r.sessions) >= sessionsMost || inGame >= sessionsGame {
			return ErrFull
		}
		q.decide(approved)
		return nil
	})
}

// Refuse turns a device away.
func (r *Register) Refuse(game, id string) error {
	return r.decide(game, id, func(q *request) error {
		q.decide(refused)
		return nil
	})
}

func (r *Register) decide(game, id string, how func(*request) error) error {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	for _, q := range r.requests {
		if q.Game == game && q.ID == id && q.state == waiting {
			err := how(q)
			r.tell(game)
			return err
		}
	}
	return ErrMissing
}

// A request may ask pollBurst times at once, and once in pollEvery after that
// (RFC 8628, section 3.5: five seconds).
const (
	pollBurst = 4
	pollEvery = entry.Millis(5000)
)

// Paired is a device that became a seat.
type Paired struct {
	Token string // the device's own, told to nobody else
	Info
}

// Poll waits for the bench's decision until ctx ends, and then says ErrWaiting.
// The answer may be fetched again, with a new token, until the device used one:
// the first may have been lost on the way.
func (r *Register) Poll(ctx context.Context, id, secret string) (Paired, error) {
	q, changed, err := r.ask(id, secret)
	if err != nil {
		return Paired{}, err
	}
	if changed != nil {
		select {
		case <-changed:
		case <-ctx.Done():
		}
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	switch q.state {
	case waiting:
		return Paired{}, ErrWaiting
	case refused:
		return Paired{}, ErrRefused
	case expired:
		return Paired{}, ErrExpired
	case approved:
		return r.pair(q)
	}
	return Paired{}, ErrExpired
}

// ask finds the request. It returns what to wait for, or nothing when the
// request is decided.
func (r *Register) ask(id, secret string) (*request, <-chan struct{}, error) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	at := slices.IndexFunc(r.requests, func(q *request) bool { return q.ID == id })
	if at < 0 || !r.requests[at].secret.is(secret) {
		return nil, nil, ErrExpired // also to who guesses at ids
	}
	q := r.requests[at]
	now := r.now()
	q.polls = max(0, q.polls-int((now-q.polled)/pollEvery))
	if q.polls >= pollBurst {
		return nil, nil, ErrTooSoon
	}
	q.polls++
	q.polled = now
	if q.state != waiting {
		return q, nil, nil
	}
	q.wake() // one poll of a request waits, the newest
	return q, q.changed, nil
}

// pair makes the session of an approved request, with a token that nobody had
// before.
func (r *Register) pair(q *request) (Paired, error) {
	if q.session != nil && (q.session.used || !slices.Contains(r.sessions, q.session)) {
		return Paired{}, ErrExpired
	}
	token := r.token()
	if q.session == nil {
		q.session = &Session{
			Info: Info{
				ID: r.id(), Game: q.Game, Device: q.Device, Role: q.Role, Since: r.now(), Heard: r.now(),
			},
			ended: make(chan struct{}),
		}
		r.sessions = append(r.sessions, q.session)
	}
	q.session.token = hashOf(token)
	r.tell(q.Game)
	if err := r.save(); err != nil {
		// The seat works; it would only have to be paired again after a restart.
		return Paired{Token: token, Info: q.session.Info}, fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	return Paired{Token: token, Info: q.session.Info}, nil
}
