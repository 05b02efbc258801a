package limits

import (
	"net/netip"
	"sync"
)

// How many streams may be open at once (ours). The bench has its own, so that no
// guest can take its place, and so has every seat.
const (
	streamsHere      = 320
	streamsOfGuests  = 320
	streamsOfAddress = 60 // many guests may share one address
	// streamsOfBrowser leaves one of the six connections that browsers keep to
	// an address, all tabs together, for the posts.
	streamsOfBrowser = 5
	// streamsOverHTTP2 is for browsers without that limit.
	streamsOverHTTP2 = 20
)

// Full is why no more streams are opened.
type Full int

// Why no more streams are opened.
const (
	NotFull      Full = iota
	TooManyInAll      //
	TooManyTabs       // of one browser
)

// Streams counts the streams that are open. It is safe for use by many goroutines.
type Streams struct {
	mutex        sync.Mutex
	here, guests int
	addresses    map[netip.Addr]int
	browsers     map[string]int
}

// Enter counts a stream, and returns what takes it back. Browser tells browsers
// apart where that can be told. One that is told that its browser has too many
// still counts while it is told so.
func (s *Streams) Enter(c Caller, browser string, overHTTP2 bool) (leave func(), full Full) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	tabs := streamsOfBrowser
	if overHTTP2 {
		tabs = streamsOverHTTP2
	}
	switch {
	case c.Here && s.here >= streamsHere,
		c.guest() && (s.guests >= streamsOfGuests || s.addresses[c.Address] >= streamsOfAddress):
		return nil, TooManyInAll
	case browser != "" && s.browsers[browser] >= tabs+1: // it does not listen
		return nil, TooManyInAll
	case browser != "" && s.browsers[browser] >= tabs:
		full = TooManyTabs
	}
	if s.addresses == nil {
		s.addresses, s.browsers = map[netip.Addr]int{}, map[string]int{}
	}
	s.count(c, browser, 1)
	return func() {
		s.mutex.Lock()
		defer s.mutex.Unlock()
		s.count(c, browser, -1)
	}, full
}

// Open is how many streams of this machine and of guests are open.
func (s *Streams) Open() (here, guests int) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.here, s.guests
}

// count adds to all counters of a stream. The caller holds the mutex.
func (s *Streams) count(c Caller, browser string, by int) {
	switch {
	case c.Here:
		s.here += by
	case c.guest():
		s.guests += by
		if s.addresses[c.Address] += by; s.addresses[c.Address] == 0 {
			delete(s.addresses, c.Address)
		}
	}
	if browser != "" {
		if s.browsers[browser] += by; s.browsers[browser] == 0 {
			delete(s.browsers, browser)
		}
	}
}
