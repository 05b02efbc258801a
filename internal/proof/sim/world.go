package sim

import (
	"container/heap"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"math/rand/v2"
	"sync"
	"time"
)

// Outcome is how a simulated game went.
type Outcome struct {
	Seed    uint64
	Faults  []string // what broke the oracle; empty: nothing
	Entries int      // in the ledger at the end
	Posted  int      // batches that seats put into their outboxes
	Refused int      // batches that the bench refused
	Counts  map[string]int
	Trace   string // hash of everything that happened, in order
	Log     []string
}

// world is one simulated game. Only one thing happens at a time.
type world struct {
	ctx     context.Context
	folder  string
	random  *rand.Rand
	settle  func() // waits until every goroutine of the bench has come to rest
	queue   events
	count   int
	trace   hash.Hash
	log     []string
	counts  map[string]int
	host    *host
	seats   []*seat
	auditor *auditor
	healed  bool
	mutex   sync.Mutex
	ends    time.Time
}

const (
	longest  = 9 * time.Minute  // of a simulated game, before everything is mended
	recovers = 3 * time.Minute  // for everything to agree after that
	quiet    = 10 * time.Second // after the last entry: every screen has it then
	logMost  = 4000             // lines that are kept
)

// Play plays the game of a seed. It is called inside a bubble of simulated time;
// settle waits until all other goroutines in it have come to rest.
//
// With a folder the game is on SQLite there, over files that fail; without one it
// is in memory.
func Play(ctx context.Context, seed uint64, folder string, settle func()) Outcome {
	w := &world{
		ctx: ctx, folder: folder, random: rand.New(rand.NewPCG(seed, 0x5eed)), settle: settle,
		trace: sha256.New(), counts: map[string]int{}, ends: time.Now().Add(longest),
	}
	w.auditor = newAuditor(w)
	w.host = newHost(w)
	w.host.start()
	w.host.open()
	w.host.putOthers()
	for i := range 1 + w.random.IntN(5) {
		w.seats = append(w.seats, newSeat(w, i))
	}
	w.trouble()
	for w.queue.Len() > 0 && len(w.auditor.faults) == 0 {
		next := heap.Pop(&w.queue).(*event)
		w.fence()
		if wait := time.Until(next.at); wait > 0 {
			time.Sleep(wait)
		}
		w.settle()
		if !w.healed && time.Now().After(w.ends) {
			w.heal()
		}
		if w.healed && time.Now().After(w.ends.Add(recovers)) && time.Since(w.auditor.newest) > quiet {
			break
		}
		next.do()
		w.settle()
		w.host.push()
		w.auditor.watchClocks()
	}
	w.host.stop()
	if len(w.auditor.faults) == 0 {
		w.auditor.judge()
	}
	posted := 0
	for _, s := range w.seats {
		posted += s.put
	}
	return Outcome{
		Seed: seed, Faults: w.auditor.faults, Entries: len(w.host.disk.ledger()), Posted: posted,
		Refused: len(w.auditor.refused), Counts: w.counts, Trace: hex.EncodeToString(w.trace.Sum(nil)), Log: w.log,
	}
}

// fence tells the race detector what simulated time makes sure of: the bench's
// goroutines and the world never work at the same time.
func (w *world) fence() {
	w.mutex.Lock()
	defer w.mutex.Unlock()
}

// note writes down what happened.
func (w *world) note(kind, form string, args ...any) {
	w.counts[kind]++
	line := fmt.Sprintf("%s %s: %s", time.Now().UTC().Format("15:04:05.000"), kind, fmt.Sprintf(form, args...))
	w.trace.Write([]byte(line))
	if len(w.log) < logMost {
		w.log = append(w.log, line)
	}
}

// after does something later.
func (w *world) after(wait time.Duration, do func()) {
	w.count++
	heap.Push(&w.queue, &event{at: time.Now().Add(wait), order: w.count, do: do})
}

// between draws a time.
func (w *world) between(least, most time.Duration) time.Duration {
	return least + time.Duration(w.random.Int64N(int64(most-least)+1))
}

// chance is true in that many of a hundred cases.
func (w *world) chance(percent int) bool { return w.random.IntN(100) < percent }

// trouble plans what goes wrong. How much differs from seed to seed: some games
// have nothing but one kind of trouble, so that it is not hidden by another.
func (w *world) trouble() {
	kinds := []func(){w.cutLink, w.crash, w.fillDisk, w.sleep, w.restartSeat, w.strangerLooks}
	for _, kind := range kinds {
		often := w.random.IntN(3) // 0: never in this game
		for range often * 2 {
			w.after(w.between(0, longest), kind)
		}
	}
	if w.chance(60) {
		w.host.disk.failing = w.random.IntN(5)
	}
	if w.chance(60) {
		for _, s := range w.seats {
			s.link.lossy, s.link.doubling = w.random.IntN(15), w.random.IntN(10)
		}
	}
}

func (w *world) cutLink() {
	if w.healed {
		return
	}
	s := w.seats[w.random.IntN(len(w.seats))]
	ways := 1 + w.random.IntN(3) // to the bench, from it, both
	long := w.between(time.Second, []time.Duration{5 * time.Second, time.Minute, 10 * time.Minute}[w.random.IntN(3)])
	s.link.cut(ways, true)
	w.note("cut", "%s ways %d for %v", s.name, ways, long)
	w.after(long, func() { s.link.cut(ways, false) })
}

func (w *world) crash() {
	if !w.healed && w.host.up {
		w.host.crash(w.between(time.Second, 40*time.Second))
	}
}

func (w *world) fillDisk() {
	if w.healed {
		return
	}
	long := w.between(time.Second, time.Minute)
	w.note("full", "for %v", long)
	w.host.disk.full = true
	w.after(long, func() { w.host.disk.full = false })
}

func (w *world) sleep() {
	if !w.healed && w.host.up {
		w.host.sleep(w.between(time.Second, []time.Duration{10 * time.Second, 5 * time.Minute}[w.random.IntN(2)]))
	}
}

func (w *world) restartSeat() {
	if !w.healed {
		w.seats[w.random.IntN(len(w.seats))].reload()
	}
}

// heal mends everything; nobody does anything new from now on.
func (w *world) heal() {
	w.healed, w.ends = true, time.Now()
	w.note("healed", "all")
	w.host.disk.full, w.host.disk.failing = false, 0
	for _, s := range w.seats {
		s.link.mend()
	}
	if w.host.live != nil {
		time.Sleep(time.Second) // no computer sleeps for less
		w.host.wake()
	} else {
		w.host.start()
	}
}

// event is something that is to happen.
type event struct {
	at    time.Time
	order int
	do    func()
}

type events []*event

func (e events) Len() int { return len(e) }
func (e events) Less(i, j int) bool {
	if e[i].at.Equal(e[j].at) {
		return e[i].order < e[j].order
	}
	return e[i].at.Before(e[j].at)
}
func (e events) Swap(i, j int) { e[i], e[j] = e[j], e[i] }
func (e *events) Push(x any)   { *e = append(*e, x.(*event)) }
func (e *events) Pop() any {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	return last
}
