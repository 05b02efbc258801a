package seats

import (
	"fmt"
	"slices"

	"whistlestop/game/entry"
)

// counter returns the device that counts in place of a session: in a seat that
// counts, counts are one person's, and that is whoever sat down first. Empty: the
// session counts itself, or has nothing to count. The caller holds the mutex.
func (r *Register) counter(s *Session) string {
	if s.Seat != entry.ShotsSeat || s.both {
		return ""
	}
	for _, older := range r.sessions {
		if older == s {
			break
		}
		overlap := older.Side == "" || s.Side == "" || older.Side == s.Side
		if older.Game == s.Game && older.Seat == s.Seat && overlap && r.counter(older) == "" {
			return older.Device
		}
	}
	return ""
}

// Info is what is known of a session now.
func (r *Register) Info(s *Session) Info {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	return r.info(s)
}

// info is what is known of a session. The caller holds the mutex.
func (r *Register) info(s *Session) Info {
	one := s.Info
	one.LooksOn = r.counter(s)
	return one
}

// LetCount lets a session count beside another one of the same seat.
func (r *Register) LetCount(game, id string) error {
	r.mutex.Lock()
	defer r.mutex.Unlock()
	r.sweep()
	at := slices.IndexFunc(r.sessions, func(s *Session) bool { return s.Game == game && s.ID == id })
	if at < 0 {
		return ErrMissing
	}
	r.sessions[at].both = true
	r.tell(game)
	if err := r.save(); err != nil {
		return fmt.Errorf("%w: %w", ErrNotKept, err)
	}
	return nil
}
