package seats

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"whistlestop/game/entry"
)

// Info is what is known of a device that is a seat.
type Info struct {
	ID     string `json:"id"`
	Game   string `json:"game"`
	Device string `json:"device"`
	Role
	Since entry.Millis `json:"since_ms"`
	Heard entry.Millis `json:"heard_ms"` // when it last asked for something
	Open  int          `json:"open"`     // its streams

	// From is the way by which it came last, in words, where there are several ways.
	From string `json:"from,omitempty"`

	// LooksOn is the device that counts in this one's place. Empty: this one
	// counts, or its seat has nothing to count.
	LooksOn string `json:"looks_on,omitempty"`
}

// Session is a device that is a seat. Info is what it is; the rest belongs to
// the register.
type Session struct {
	Info
	token hash
	used  bool // the device came back with its token
	both  bool // it may count beside another one
	ended chan struct{}
}

// Ended is closed when the bench takes the seat away, or its time is over.
func (s *Session) Ended() <-chan struct{} { return s.ended }

// Session returns the session that a token belongs to, and notes that it was
// heard of.
func (r *Register) Session(token string) (*Session, Info, bool) {
	if token == "" {
		return nil, Info{}, false
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	var found *Session
	for _, s := range r.sessions { // all of them, so that the time does not tell which
		if s.token.is(token) {
			found = s
		}
	}
	if found == nil {
		return nil, Info{}, false
	}
	if !found.used {
		found.used = true
		r.requests = slices.DeleteFunc(r.requests, func(q *request) bool { return q.session == found })
		r.tell(found.Game)
	}
	found.Heard = r.now()
	return found, r.info(found), true
}

// Came notes by which way a device came, for the bench to see.
func (r *Register) Came(s *Session, from string) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if s.From != from {
		s.From = from
		r.tell(s.Game)
	}
}

// Streaming counts a stream that the session opens, for the bench to see. The
// returned function takes it back.
func (r *Register) Streaming(s *Session) (closed func()) {
	count := func(by int) {
		r.mutex.Lock()
		defer r.mutex.Unlock()
		s.Open += by
		s.Heard = r.now()
		r.tell(s.Game)
	}
	count(1)
	return func() { count(-1) }
}

// Revoke takes a seat away from a device. Its streams end.
func (r *Register) Revoke(game, id string) error {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	at := slices.IndexFunc(r.sessions, func(s *Session) bool { return s.Game == game && s.ID == id })
	if at < 0 {
		return ErrMissing
	}
	r.dismiss(r.sessions[at])
	r.sessions = slices.Delete(r.sessions, at, at+1)
	r.tell(game)
	// Whoever was a seat is known before the seat is gone from what is kept: a power cut
	// between the two leaves it a seat, and loses nothing that it has.
	if err := errors.Join(r.saveFormers(), r.save()); err != nil {
		return fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	return nil
}

// List is the seats of a game as the bench sees them.
type List struct {
	Invites  []Invite  `json:"invites"`
	Requests []Request `json:"requests"`
	Sessions []Info    `json:"sessions"`
	Handed   []Handed  `json:"handed"` // what waits for a decision
}

// List lists the seats of a game, each kind in the order in which they came.
func (r *Register) List(game string) List {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	list := List{Invites: []Invite{}, Requests: []Request{}, Sessions: []Info{}, Handed: []Handed{}}
	for _, i := range r.invites {
		if i.Game == game {
			list.Invites = append(list.Invites, r.show(i.Invite))
		}
	}
	for _, q := range r.requests {
		if q.Game == game && q.state == waiting {
			one := q.Request
			one.Asked += r.shown
			list.Requests = append(list.Requests, one)
		}
	}
	for _, s := range r.sessions {
		if s.Game == game {
			one := r.info(s)
			one.Since, one.Heard = one.Since+r.shown, one.Heard+r.shown
			list.Sessions = append(list.Sessions, one)
		}
	}
	for _, one := range r.handed {
		if one.Game == game {
			list.Handed = append(list.Handed, one)
		}
	}
	return list
}

// show returns an invite in the time that people are shown.
func (r *Register) show(i Invite) Invite {
	i.Expires += r.shown
	return i
}

// Nameless takes the names of devices that name a person, and what waits for a
// decision by texts about that person, and returns how many devices and entries
// there are. Without write it only counts them.
func (r *Register) Nameless(
	names func(device string) bool, without func(entry.Entry) (entry.Entry, bool), write bool,
) (count int, err error) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	device := func(name *string, game string) {
		if !names(*name) {
			return
		}
		if count++; write {
			*name = ""
			r.tell(game)
		}
	}
	for _, s := range r.sessions {
		device(&s.Device, s.Game)
	}
	for _, q := range r.requests {
		if q.session != nil && write && names(q.Device) {
			q.Device = "" // it was counted as a seat
		}
		if q.session == nil {
			device(&q.Device, q.Game)
		}
	}
	for i := range r.formers {
		device(&r.formers[i].Device, r.formers[i].Game)
	}
	for i := range r.handed {
		one := &r.handed[i]
		device(&one.Device, one.Game)
		entries := slices.Clone(one.Entries)
		for k, raw := range entries {
			var e entry.Entry
			if json.Unmarshal(raw, &e) != nil {
				continue
			}
			e, some := without(e)
			if !some {
				continue
			}
			if entries[k], err = json.Marshal(e); err != nil {
				return count, err
			}
			count++
		}
		if write {
			one.Entries = entries
		}
	}
	if count == 0 || !write {
		return count, nil
	}
	return count, errors.Join(r.save(), r.saveHanded(), r.saveFormers())
}

// keptSession is a session as it is saved.
type keptSession struct {
	Token []byte       `json:"token_sha256"`
	ID    string       `json:"id"`
	Game  string       `json:"game"`
	Name  string       `json:"device"`
	Role  Role         `json:"role"`
	Since entry.Millis `json:"since_ms"`
	Both  bool         `json:"counts_too,omitempty"`
}

// save hands the sessions to whoever keeps them. The caller holds the mutex.
func (r *Register) save() error {
	if r.keep == nil {
		return nil
	}
	list := []keptSession{}
	for _, s := range r.sessions {
		list = append(list, keptSession{
			Token: s.token[:], ID: s.ID, Game: s.Game, Name: s.Device, Role: s.Role, Since: s.Since, Both: s.both,
		})
	}
	raw, err := json.MarshalIndent(list, "", " ")
	if err != nil {
		return err
	}
	return r.keep(raw)
}

// Restore takes over sessions that were saved, all or none: a device that was a
// seat before the program was started again still is. What is not whole is an
// error, and then nobody is a seat.
func (r *Register) Restore(saved []byte) error {
	var list []keptSession
	if err := json.Unmarshal(saved, &list); err != nil {
		return err
	}
	if len(list) > sessionsMost {
		return fmt.Errorf("there are %d sessions: %w", len(list), ErrFull)
	}
	var sessions []*Session
	now := r.now()
	for _, k := range list {
		k.Since = min(k.Since, now) // nobody sat down later than now
		s := &Session{
			Info:  Info{ID: k.ID, Game: k.Game, Device: deviceName(k.Name), Role: k.Role, Since: k.Since},
			used:  true,
			both:  k.Both,
			ended: make(chan struct{}),
		}
		if copy(s.token[:], k.Token) != len(s.token) || len(k.Token) != len(s.token) || k.ID == "" || !k.Role.Valid() {
			return fmt.Errorf("session %q is not whole", k.ID)
		}
		sessions = append(sessions, s)
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	for _, s := range sessions {
		s.Heard = r.now() // nobody knows when it was heard last
	}
	r.sessions = sessions
	r.sweep()
	return nil
}
