package sim

import "time"

// The ways of a link.
const (
	toBench   = 1
	fromBench = 2
)

// link is the network between one seat and the bench. Its ways may be cut one by
// one; each takes its own time, so that the two differ by up to half a second.
type link struct {
	w        *world
	cuts     [3]int // how often each way is cut at the moment
	least    [3]time.Duration
	spread   time.Duration
	lossy    int // of a hundred messages
	doubling int
	last     time.Time // when the newest message of the stream arrives
}

func newLink(w *world) *link {
	l := &link{w: w, spread: w.between(time.Millisecond, 80*time.Millisecond)}
	l.least[toBench] = w.between(0, 5*time.Millisecond)
	l.least[fromBench] = w.between(0, 5*time.Millisecond)
	if w.chance(40) { // one way is far slower
		l.least[1+w.random.IntN(2)] += w.between(0, 500*time.Millisecond)
	}
	return l
}

func (l *link) cut(ways int, cut bool) {
	for _, way := range []int{toBench, fromBench} {
		if ways&way == 0 {
			continue
		}
		if cut {
			l.cuts[way]++
		} else if l.cuts[way] > 0 {
			l.cuts[way]--
		}
	}
}

func (l *link) mend() { l.cuts, l.lossy, l.doubling = [3]int{}, 0, 0 }

// open reports whether a connection can be made.
func (l *link) open() bool { return l.cuts[toBench] == 0 && l.cuts[fromBench] == 0 }

// carry takes a message over, once, twice or never, and not in order.
func (l *link) carry(way int, arrives func()) {
	if l.cuts[way] > 0 || l.w.chance(l.lossy) {
		l.w.counts["messages lost"]++
		return
	}
	copies := 1
	if l.w.chance(l.doubling) {
		copies = 2
		l.w.counts["messages doubled"]++
	}
	for range copies {
		wait := l.least[way] + l.w.between(0, l.spread)
		if l.w.chance(3) {
			wait += l.w.between(0, 3*time.Second) // a message that is stuck
		}
		l.w.after(wait, func() {
			if l.cuts[way] == 0 {
				arrives()
			}
		})
	}
}

// stream takes a message of a stream over, in order. It returns false when the
// stream is broken.
func (l *link) stream(arrives func(), broken func()) bool {
	if l.cuts[fromBench] > 0 {
		return false
	}
	at := time.Now().Add(l.least[fromBench] + l.w.between(0, l.spread))
	if at.Before(l.last) {
		at = l.last
	}
	l.last = at
	l.w.after(time.Until(at), func() {
		if l.cuts[fromBench] > 0 {
			broken()
			return
		}
		arrives()
	})
	return true
}
