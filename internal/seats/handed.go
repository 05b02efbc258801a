package seats

import (
	"encoding/json"
	"fmt"
	"slices"

	"whistlestop/game/entry"
)

// How much of what devices had not handed over waits for a decision (ours): all of
// a game that was played out of reach has far less.
const (
	formerMost = 64
	handedMost = 400
	handedSize = 16 << 10 // bytes of one
)

// Handed is what a device entered while it was a seat and could not hand over
// before the seat was taken away: entries that go together. A person at the bench
// decides whether they happened.
type Handed struct {
	ID     string `json:"id"` // the id of its first entry
	Game   string `json:"game"`
	Device string `json:"device"`
	Role
	Saw     int               `json:"saw"` // seq of the state that they were made from
	Entries []json.RawMessage `json:"entries" contract:"Entry"`
}

// former is a device that was a seat: its token still has one right, by
// which it hands over what it had entered before.
type former struct {
	Info
	token hash
	until entry.Millis
}

// dismiss notes that a session has ended. The caller holds the mutex.
func (r *Register) dismiss(s *Session) {
	close(s.ended)
	r.formers = append(r.formers, former{Info: s.Info, token: s.token, until: r.now() + sessionLasts})
	if extra := len(r.formers) - formerMost; extra > 0 {
		r.formers = slices.Delete(r.formers, 0, extra)
	}
}

// Former returns what a device was whose seat was taken away, by its token.
func (r *Register) Former(token string) (Info, bool) {
	if token == "" {
		return Info{}, false
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	found, known := Info{}, false
	for _, f := range r.formers { // all of them, so that the time does not tell which
		if f.token.is(token) {
			found, known = f.Info, true
		}
	}
	return found, known
}

// keptFormer is a device that was a seat, as it is saved.
type keptFormer struct {
	Token []byte       `json:"token_sha256"`
	ID    string       `json:"id"`
	Game  string       `json:"game"`
	Name  string       `json:"device"`
	Role  Role         `json:"role"`
	Until entry.Millis `json:"until_ms"`
}

// saveFormers hands those who were seats to whoever keeps them. The caller holds the
// mutex.
func (r *Register) saveFormers() error {
	if r.keepFormers == nil {
		return nil
	}
	list := []keptFormer{}
	for _, f := range r.formers {
		list = append(list, keptFormer{Token: f.token[:], ID: f.ID, Game: f.Game, Name: f.Device, Role: f.Role, Until: f.until})
	}
	raw, err := json.MarshalIndent(list, "", " ")
	if err != nil {
		return err
	}
	return r.keepFormers(raw)
}

// RestoreFormers takes over who was a seat before the program was started again, all or
// none, after the sessions: whoever still is a seat is none of them.
func (r *Register) RestoreFormers(saved []byte) error {
	var list []keptFormer
	if err := json.Unmarshal(saved, &list); err != nil {
		return err
	}
	if len(list) > formerMost {
		return fmt.Errorf("there are %d former seats: %w", len(list), ErrFull)
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	latest, formers := r.now()+sessionLasts, []former{}
	for _, k := range list {
		f := former{
			Info:  Info{ID: k.ID, Game: k.Game, Device: deviceName(k.Name), Role: k.Role},
			until: min(k.Until, latest),
		}
		if copy(f.token[:], k.Token) != len(f.token) || len(k.Token) != len(f.token) || k.ID == "" || !k.Role.Valid() {
			return fmt.Errorf("former seat %q is not whole", k.ID)
		}
		if !slices.ContainsFunc(r.sessions, func(s *Session) bool { return s.token == f.token }) {
			formers = append(formers, f)
		}
	}
	r.formers = formers
	r.sweep()
	return nil
}

// HandOver keeps what a device had not handed over until a person decides. The
// same once more changes nothing.
func (r *Register) HandOver(one Handed) error {
	size := 0
	for _, raw := range one.Entries {
		size += len(raw)
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	if slices.ContainsFunc(r.handed, func(h Handed) bool { return h.Game == one.Game && h.ID == one.ID }) {
		return nil
	}
	if len(r.handed) >= handedMost || size > handedSize {
		return ErrFull
	}
	r.handed = append(r.handed, one)
	if err := r.saveHanded(); err != nil {
		r.handed = r.handed[:len(r.handed)-1]
		return err // the device still has it
	}
	r.tell(one.Game)
	return nil
}

// HandedOver returns what a device handed over, by its id.
func (r *Register) HandedOver(game, id string) (Handed, error) {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	for _, one := range r.handed {
		if one.Game == game && one.ID == id {
			return one, nil
		}
	}
	return Handed{}, ErrMissing
}

// Decided forgets what was handed over: a person has decided.
func (r *Register) Decided(game, id string) error {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	at := slices.IndexFunc(r.handed, func(h Handed) bool { return h.Game == game && h.ID == id })
	if at < 0 {
		return ErrMissing
	}
	r.handed = slices.Delete(r.handed, at, at+1)
	r.tell(game)
	return r.saveHanded()
}

// saveHanded hands what waits to whoever keeps it. The caller holds the mutex.
func (r *Register) saveHanded() error {
	if r.keepHanded == nil {
		return nil
	}
	raw, err := json.Marshal(r.handed)
	if err == nil {
		err = r.keepHanded(raw)
	}
	if err != nil {
		return fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	return nil
}

// RestoreHanded takes over what was saved and waits for a decision.
func (r *Register) RestoreHanded(saved []byte) error {
	var list []Handed
	if err := json.Unmarshal(saved, &list); err != nil {
		return err
	}
	if len(list) > handedMost {
		return fmt.Errorf("%d wait: %w", len(list), ErrFull)
	}
	for _, one := range list {
		if one.ID == "" || one.Game == "" || !one.Valid() || len(one.Entries) == 0 {
			return fmt.Errorf("what device %q handed over is not whole", one.Device)
		}
	}
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.handed = list
	return nil
}
