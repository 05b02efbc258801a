package pocket

import (
	"sync"
	"time"
)

// painted is in how long the page has painted an answer, as a rule.
const painted = 30 * time.Millisecond

// underway counts what the bench's page asks for. What changed comes with the answer to
// a post, too: to tell the page of it before its answer is painted would only delay that.
type underway struct {
	mutex sync.Mutex
	many  int
	ended chan struct{} // closed when there is none any more
}

func (u *underway) begin() {
	u.mutex.Lock()
	defer u.mutex.Unlock()
	if u.many == 0 {
		u.ended = make(chan struct{})
	}
	u.many++
}

func (u *underway) end() {
	u.mutex.Lock()
	defer u.mutex.Unlock()
	u.many--
	if u.many == 0 {
		close(u.ended)
	}
}

// none is closed when nothing is under way.
func (u *underway) none() <-chan struct{} {
	u.mutex.Lock()
	defer u.mutex.Unlock()
	if u.ended == nil { // nothing ever was
		u.ended = make(chan struct{})
		close(u.ended)
	}
	return u.ended
}
