package sim

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
)

const (
	giveUpAfter  = 8 * time.Second // an answer that does not come
	tryAgain     = time.Second
	beatEvery    = 2 * time.Second
	silentFor    = 3 * time.Second // then a seat says that it lost the bench
	measureEvery = time.Minute
	rounding     = 1500 * time.Microsecond // what whole milliseconds hide, as in the code of the screens
	driftMost    = 1e-4                    // by which the bound of a device's time grows
)

// batch is entries that go out together, all or none.
type batch struct {
	entries []entry.Entry
	saw     int
}

func (b batch) key() string { return b.entries[0].ID }

// seat is a phone with an outbox, a stream and a clock of its own.
type seat struct {
	w    *world
	name string
	kind entry.Seat
	link *link

	waiting []batch // survives a reload
	put     int
	made    int
	busy    bool
	flight  int

	state *rules.State // nil: nothing is shown yet
	heard time.Time
	ahead time.Duration // of the device's own clock
	rate  float64       // by which it runs fast

	offset   time.Duration // the bench's time less our own
	bound    time.Duration
	measured time.Time // zero: not measured
	since    time.Time // when its stream began
}

// kinds are who sits at a bench of one, two, three... seats.
var kinds = []entry.Seat{entry.ClockSeat, entry.BookSeat, entry.BookSeat, entry.ShotsSeat, entry.BoxSeat}

func newSeat(w *world, i int) *seat {
	s := &seat{
		w: w, kind: kinds[i], name: fmt.Sprintf("phone %d", i), link: newLink(w),
		ahead: w.between(-time.Hour, time.Hour), rate: (w.random.Float64() - 0.5) * 1e-4,
	}
	w.after(w.between(0, time.Second), s.live)
	w.after(w.between(time.Second, 3*time.Second), s.act)
	w.after(w.between(0, time.Second), s.measure)
	w.after(beatEvery, s.listen)
	return s
}

// own is the time on the device.
func (s *seat) own() time.Duration {
	run := time.Since(epoch)
	return s.ahead + run + time.Duration(float64(run)*s.rate)
}

var epoch = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// benchNow is the bench's time as the device works it out, in milliseconds of
// Unix time, and the bound of its error.
func (s *seat) benchNow() (now, bound entry.Millis, known bool) {
	if s.measured.IsZero() {
		return 0, 0, false
	}
	age := time.Since(s.measured)
	far := s.bound + time.Duration(float64(age)*driftMost)
	return entry.Millis((s.own() + s.offset).Milliseconds()), entry.Millis((far + time.Millisecond - 1).Milliseconds()), true
}

// measure asks the bench for its time, several times over; the shortest round
// trip counts.
func (s *seat) measure() {
	s.w.after(measureEvery, s.measure)
	s.ask()
}

func (s *seat) ask() {
	for i := range 5 {
		s.w.after(time.Duration(i)*300*time.Millisecond, func() {
			left := s.own()
			s.link.carry(toBench, func() {
				if !s.w.host.up {
					return
				}
				program := s.w.host.begun
				told := time.Duration(s.w.host.live.Now()) * time.Millisecond
				s.w.settle() // whoever asks first after a sleep wakes the games
				s.link.carry(fromBench, func() {
					if program.Equal(s.w.host.begun) { // a dead program's connections are broken
						s.probe(left, told, s.own())
					}
				})
			})
		})
	}
}

func (s *seat) probe(left, told, back time.Duration) {
	bound := (back-left)/2 + rounding
	offset := told - (left+back)/2
	if !s.measured.IsZero() {
		older := s.bound + time.Duration(float64(time.Since(s.measured))*driftMost)
		if agree := (offset - s.offset).Abs() <= older+bound; agree && older < bound {
			return
		}
	}
	s.offset, s.bound, s.measured = offset, bound, time.Now()
}

// listen keeps the stream alive, and asks for a new one when it is silent.
func (s *seat) listen() {
	s.w.after(beatEvery, s.listen)
	s.w.host.beat(s)
	if time.Since(s.heard) > silentFor {
		s.live()
	}
}

// live asks for a stream.
func (s *seat) live() {
	if s.link.open() {
		// The bench may have been started again, and reads its clock anew then: what
		// was measured before no longer holds to the millisecond.
		s.measured = time.Time{}
		s.ask()
		s.link.carry(toBench, func() { s.w.host.follow(s) })
	}
}

// take shows a state that is newer.
func (s *seat) take(update bench.Update) {
	s.heard = time.Now()
	s.w.auditor.sees(s, update)
	if s.state != nil && update.State.Seq <= s.state.Seq {
		return
	}
	state := update.State
	s.state = &state
	s.flush()
}

// post puts entries into the outbox.
func (s *seat) post(bodies ...entry.Body) {
	s.offer(s.state.Seq, "", bodies...)
}

func (s *seat) offer(saw int, of string, bodies ...entry.Body) {
	wall, _, known := s.benchNow()
	if !known {
		return
	}
	b := batch{saw: saw}
	for _, body := range bodies {
		s.made++
		b.entries = append(b.entries, entry.Entry{
			ID: fmt.Sprintf("01JD%s%020d", s.name[len(s.name)-1:]+"0", s.made), Game: gameID,
			Wall: wall, Seat: s.kind, Of: of, Body: body,
		})
	}
	s.put++
	s.waiting = append(s.waiting, b)
	s.w.auditor.offered(s, b)
	s.w.note("put", "%s %s %s", s.name, b.key(), b.entries[0].Kind())
	s.flush()
}

// flush sends the oldest batch, if none is under way.
func (s *seat) flush() {
	if s.busy || len(s.waiting) == 0 {
		return
	}
	s.busy = true
	s.flight++
	flight, b := s.flight, s.waiting[0]
	s.link.carry(toBench, func() {
		s.w.host.serve(s, b, func(a answer) {
			s.link.carry(fromBench, func() { s.answered(flight, b, a) })
		})
	})
	s.w.after(giveUpAfter, func() {
		if s.busy && s.flight == flight {
			s.busy = false
			s.w.counts["sent again"]++
			s.w.after(tryAgain, s.flush)
		}
	})
}

func (s *seat) answered(flight int, b batch, a answer) {
	if !s.busy || flight != s.flight {
		return // it was given up
	}
	s.busy = false
	s.waiting = slices.DeleteFunc(s.waiting, func(one batch) bool { return one.key() == b.key() })
	if a.refused {
		s.w.note("refused", "%s %s: %s", s.name, b.key(), a.why)
		s.w.auditor.turnedDown(b)
	} else {
		s.w.note("kept", "%s %s", s.name, b.key())
		s.w.auditor.acknowledged(b)
		s.take(a.update)
	}
	s.flush()
}

// reload is a page that is loaded again: what it showed and asked is gone, what
// waits is on the shelf, in the order of its keys.
func (s *seat) reload() {
	s.w.note("reload", "%s with %d waiting", s.name, len(s.waiting))
	s.w.host.leave(s)
	s.state, s.busy, s.measured = nil, false, time.Time{}
	s.flight++
	slices.SortFunc(s.waiting, func(a, b batch) int { return strings.Compare(a.key(), b.key()) })
	s.w.after(s.w.between(time.Second, 5*time.Second), func() {
		s.live()
		s.flush()
	})
	s.w.after(time.Second, func() {
		if s.measured.IsZero() {
			s.measure()
		}
	})
}
