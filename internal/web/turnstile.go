package web

import (
	"crypto/rand"
	"encoding/base64"
	"net/http"
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

// crowded is why no more streams are opened.
type crowded int

const (
	notCrowded crowded = iota
	tooManyInAll
	tooManyTabs // of one browser
)

// turnstile counts the streams that are open. It is safe for use by many
// goroutines.
type turnstile struct {
	mutex        sync.Mutex
	here, guests int
	addresses    map[netip.Addr]int
	browsers     map[string]int
}

// enter counts a stream, and returns what takes it back. One that is told that
// its browser has too many still counts while it is told so.
func (t *turnstile) enter(c caller, r *http.Request) (leave func(), full crowded) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	browser := browserOf(c, r)
	guest := !c.Here && c.session == nil
	switch {
	case c.Here && t.here >= streamsHere,
		guest && (t.guests >= streamsOfGuests || t.addresses[c.address] >= streamsOfAddress):
		return nil, tooManyInAll
	case browser != "" && t.browsers[browser] >= tabsMost(r)+1: // it does not listen
		return nil, tooManyInAll
	case browser != "" && t.browsers[browser] >= tabsMost(r):
		full = tooManyTabs
	}
	if t.addresses == nil {
		t.addresses, t.browsers = map[netip.Addr]int{}, map[string]int{}
	}
	t.count(c, browser, 1)
	return func() {
		t.mutex.Lock()
		defer t.mutex.Unlock()
		t.count(c, browser, -1)
	}, full
}

// streamsOpen is how many streams are open.
type streamsOpen struct{ here, guests int }

func (t *turnstile) open() streamsOpen {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return streamsOpen{t.here, t.guests}
}

// count adds to all counters of a stream. The caller holds the mutex.
func (t *turnstile) count(c caller, browser string, by int) {
	switch {
	case c.Here:
		t.here += by
	case c.session == nil:
		t.guests += by
		if t.addresses[c.address] += by; t.addresses[c.address] == 0 {
			delete(t.addresses, c.address)
		}
	}
	if browser != "" {
		if t.browsers[browser] += by; t.browsers[browser] == 0 {
			delete(t.browsers, browser)
		}
	}
}

func tabsMost(r *http.Request) int {
	if r.ProtoMajor >= 2 {
		return streamsOverHTTP2
	}
	return streamsOfBrowser
}

// browserName names the cookie by which the tabs of one browser are counted. It
// says nothing else and is kept nowhere.
const browserName = "whistlestop_browser"

// browserOf tells browsers apart where it can: by the seat, or by the cookie
// that came with the page.
func browserOf(c caller, r *http.Request) string {
	if c.session != nil {
		return "seat " + c.ID
	}
	if cookie, err := r.Cookie(browserName); err == nil && len(cookie.Value) <= 32 {
		return c.address.String() + " " + cookie.Value
	}
	return ""
}

// nameBrowser gives a browser its cookie, with a page.
func nameBrowser(w http.ResponseWriter, r *http.Request) {
	if _, err := r.Cookie(browserName); err == nil {
		return
	}
	raw := make([]byte, 9)
	rand.Read(raw) // never fails
	http.SetCookie(w, &http.Cookie{
		Name: browserName, Value: base64.RawURLEncoding.EncodeToString(raw), Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, Secure: r.TLS != nil,
	})
}
