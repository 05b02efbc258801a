package sim

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/bench"
	"whistlestop/internal/restart"
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

	opened   entry.GameOpened // of the other games
	computer computer
	keeper   *restart.Keeper
	found    restart.Found
	begun    time.Time // when the program was started last
}

func newHost(w *world) *host {
	return &host{w: w, disk: newDisk(w), streams: map[*seat]*bench.Watch{}, computer: computer{boot: 1}}
}

// laptop is the steady clock of a computer that can sleep.
type laptop struct {
	mutex  sync.Mutex
	begins entry.Millis // the time that it began with
	start  time.Time
	asleep time.Duration
	since  time.Time // when the sleep that is on began; zero: it is awake
}

// Now is the time with which the program was started, carried on by a clock that
// stands still in a sleep.
func (l *laptop) Now() entry.Millis {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	now := time.Now()
	if !l.since.IsZero() {
		now = l.since
	}
	return l.begins + entry.Millis((now.Sub(l.start) - l.asleep).Milliseconds())
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
	h.disk.start()
	keeper, found, err := restart.Open(&h.computer, h.computer.read)
	if err != nil {
		h.w.auditor.fault("the record of the time cannot be read: %v", err)
	}
	if h.begun.IsZero() {
		found.Doubt = false // no game was there
	}
	h.keeper, h.found, h.begun = keeper, found, time.Now()
	h.clock = &laptop{begins: found.Now, start: time.Now()}
	h.w.auditor.restarted(found.Now)
	h.live = bench.New(h.disk, h.clock, h, slog.New(slog.DiscardHandler))
	h.live.MindSleep(h.clock.slept)
	h.live.MindRestart(bench.Restart{
		Doubt: found.Doubt, Kept: found.Kept, Counted: found.Counted, Since: found.Since, Step: found.Step, Running: found.Running,
	})
	h.up = true
	h.w.settle()
	h.look()
	h.keepTime(h.live, !found.Doubt)
}

// look opens every game whose clock ran, as the program does after a start.
func (h *host) look() {
	_ = h.live.JudgeAll(context.Background()) // a disk that fails is asked again with the first question
	h.w.settle()
	if h.disk.crashed {
		h.crash(h.w.between(time.Second, 20*time.Second))
	}
}

// keepTime writes what time it is, while this program runs.
func (h *host) keepTime(live *bench.Bench, all bool) {
	if h.live != live || h.live == nil {
		return
	}
	if h.up && !h.disk.crashed {
		if !all {
			all = live.JudgeAll(context.Background()) == nil
			h.w.settle()
		}
		if all && !h.disk.crashed && !h.disk.full {
			now := live.Now()
			h.w.settle()
			if err := h.keeper.Write(now, h.found.OwnAt(now), live.Running(), false); err != nil {
				h.w.auditor.fault("the time is not kept: %v", err)
			}
		}
	}
	h.w.after(5*time.Second, func() { h.keepTime(live, all) })
}

func (h *host) stop() {
	if h.live != nil {
		h.live.Close()
		h.w.settle()
	}
	h.disk.stop()
	h.up, h.live = false, nil
	clear(h.streams)
}

// crash ends the program as a power cut does, and starts it again later.
func (h *host) crash(down time.Duration) {
	h.w.note("crash", "down for %v", down)
	h.w.auditor.crashes = append(h.w.auditor.crashes, time.Now())
	h.disk.crashed = true // nothing that is still under way reaches the disk
	for s := range h.streams {
		s.measured = time.Time{} // its connection broke, and it knows
	}
	h.stop()
	h.computer.change(h.w)
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
		raw, err := json.Marshal(d)
		if err != nil {
			h.w.auditor.fault("the division cannot be written: %v", err)
		}
		h.opened = entry.GameOpened{Division: raw, Home: entry.Team{Name: "Millrace"}, Visitors: entry.Team{Name: "Northmole"}}
		_, err = h.live.Open(h.w.ctx, bench.Opening{
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
	h.streams[s], s.since = watch, time.Now()
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
