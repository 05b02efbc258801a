package sim

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/bench"
	"whistlestop/internal/store/memory"
)

const gameID = "01JD0000000000000000000000"

// host is the laptop with the bench.
type host struct {
	w       *world
	disk    *disk
	clock   *laptop
	live    *bench.Bench
	up      bool // it runs and is awake
	streams map[*seat]*bench.Watch
	ids     int
}

func newHost(w *world) *host {
	return &host{w: w, disk: &disk{w: w, store: memory.New()}, streams: map[*seat]*bench.Watch{}}
}

// laptop is the steady clock of a computer that can sleep.
type laptop struct {
	mutex  sync.Mutex
	start  time.Time
	asleep time.Duration
	since  time.Time // when the sleep that is on began; zero: it is awake
}

// Now is the time of day at the start, carried on by a clock that stands still in
// a sleep.
func (l *laptop) Now() entry.Millis {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	now := time.Now()
	if !l.since.IsZero() {
		now = l.since
	}
	return entry.Millis(l.start.UnixMilli()) + entry.Millis((now.Sub(l.start) - l.asleep).Milliseconds())
}

func (l *laptop) slept() entry.Millis {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return entry.Millis(l.asleep.Milliseconds())
}

func (l *laptop) fallAsleep() {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.since = time.Now()
}

// wake ends a sleep, if there is one, and returns when it began.
func (l *laptop) wake() (since time.Time, slept bool) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.since.IsZero() {
		return since, false
	}
	since = l.since
	l.asleep += time.Since(since)
	l.since = time.Time{}
	return since, true
}

// New numbers what the bench itself posts.
func (h *host) New(entry.Millis) string {
	h.ids++
	return fmt.Sprintf("01JB%022d", h.ids)
}

func (h *host) start() {
	h.disk.crashed = false
	h.clock = &laptop{start: time.Now()}
	h.live = bench.New(h.disk, h.clock, h, slog.New(slog.DiscardHandler))
	h.live.MindSleep(h.clock.slept)
	h.up = true
	h.w.settle()
}

func (h *host) stop() {
	if h.live != nil {
		h.live.Close()
		h.w.settle()
	}
	h.up, h.live = false, nil
	clear(h.streams)
}

// crash ends the program as a power cut does, and starts it again later.
func (h *host) crash(down time.Duration) {
	h.w.note("crash", "down for %v", down)
	h.w.auditor.crashes = append(h.w.auditor.crashes, time.Now())
	h.disk.crashed = true // nothing that is still under way reaches the disk
	h.stop()
	h.w.after(down, func() {
		if h.live == nil {
			h.start()
			h.w.note("started", "again")
		}
	})
}

// sleep puts the computer to sleep: nothing is answered, and its clock stands.
func (h *host) sleep(long time.Duration) {
	h.w.note("asleep", "for %v", long)
	h.up = false
	clock := h.clock
	clock.fallAsleep()
	h.w.after(long, func() {
		if h.clock == clock {
			h.wake()
		}
	})
}

// wake wakes the computer, if it sleeps.
func (h *host) wake() {
	if h.live == nil {
		return
	}
	if since, slept := h.clock.wake(); slept {
		h.w.auditor.sleeps = append(h.w.auditor.sleeps, [2]time.Time{since, time.Now()})
		h.up = true
		h.w.note("awake", "since %v", time.Since(since))
	}
}

// open opens the game, with short periods so that many of them end.
func (h *host) open() {
	for _, d := range rulebook.Divisions() {
		if d.ID != "harbour-u14" {
			continue
		}
		for i := range d.Periods {
			d.Periods[i] = entry.Clock(1, 30)
		}
		_, err := h.live.Open(h.w.ctx, bench.Opening{
			ID: gameID, Division: d,
			Home:     entry.Team{Name: "Kelp Bay", Players: []entry.Player{{Number: "7"}, {Number: "12"}}},
			Visitors: entry.Team{Name: "Lanternside", Players: []entry.Player{{Number: "4"}, {Number: "9"}}},
		})
		if err != nil {
			h.w.auditor.fault("the game does not open: %v", err)
		}
	}
}

// answer is what the bench says to a post.
type answer struct {
	update  bench.Update
	refused bool
	why     string
}

// serve takes a post that arrived. No answer means that the seat hears nothing.
func (h *host) serve(s *seat, b batch, reply func(answer)) {
	if !h.up || h.w.auditor.refused[b.key()] {
		return // a request that was refused is over: its connection carries no second copy
	}
	drafts := append([]entry.Entry{}, b.entries...)
	done, err := h.live.PostFrom(context.Background(), gameID, drafts, bench.Poster{Seat: s.kind, Name: s.name, Saw: b.saw})
	h.w.settle()
	if h.disk.crashed {
		h.crash(h.w.between(time.Second, 20*time.Second))
		return
	}
	var problem *bench.Problem
	switch {
	case err == nil:
		reply(answer{update: done.Update})
	case errors.As(err, &problem) && problem.Kind == bench.Unavailable:
		h.w.counts["not kept"]++ // the seat tries again
	case errors.As(err, &problem) && problem.Kind == bench.Faulty:
		h.w.auditor.fault("the program failed at %s: %v", b.key(), err)
	case errors.As(err, &problem):
		why := problem.Say.Key
		for _, r := range problem.Refused {
			why += " " + r.Say.Key
		}
		reply(answer{refused: true, why: why})
	default:
		h.w.auditor.fault("an error that is no problem: %v", err)
	}
}

// follow gives a seat a stream.
func (h *host) follow(s *seat) {
	if !h.up {
		return
	}
	watch, err := h.live.Watch(context.Background(), gameID)
	h.w.settle()
	if h.disk.crashed {
		h.crash(h.w.between(time.Second, 20*time.Second))
		return
	}
	if err != nil {
		return // the seat tries again
	}
	h.leave(s)
	h.streams[s] = watch
}

func (h *host) leave(s *seat) {
	if watch := h.streams[s]; watch != nil {
		watch.Close()
		delete(h.streams, s)
	}
}

// push sends every stream what is new, in the order of the seats.
func (h *host) push() {
	if h.disk.crashed && h.up { // at the program's own stop of a clock
		h.crash(h.w.between(time.Second, 20*time.Second))
	}
	if !h.up {
		return
	}
	for _, s := range h.w.seats {
		watch := h.streams[s]
		if watch == nil {
			continue
		}
		select {
		case update, more := <-watch.Updates():
			if more && !s.link.stream(func() { s.take(update) }, func() { h.leave(s) }) {
				h.leave(s)
			}
		default:
		}
	}
}

// beat tells a seat that the bench is there.
func (h *host) beat(s *seat) {
	if h.up && h.streams[s] != nil {
		s.link.stream(func() { s.heard = time.Now() }, func() { h.leave(s) })
	}
}
