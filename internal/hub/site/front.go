package site

import (
	"context"
	"net/http"
	"strings"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// Front is a hub of several associations. Each has a Site of its own; Front only reads
// for which one a request is meant, and that Site holds every secret against its own
// association. It is safe for use by many goroutines.
type Front struct {
	store Store
	now   func() entry.Millis
	found func(office.Association) *Site

	mutex  sync.Mutex
	sites  map[string]*Site
	oldest string
	looked entry.Millis
	closed bool
}

// lookEvery is how often it is looked for an association that is not known: a command
// beside the hub may have founded it (ours).
const lookEvery = 2_000

// NewFront returns the handler of a hub. found makes the Site of an association.
func NewFront(ctx context.Context, store Store, now func() entry.Millis, found func(office.Association) *Site) (*Front, error) {
	f := &Front{store: store, now: now, found: found, sites: map[string]*Site{}}
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return f, f.look(ctx)
}

// look makes the sites of associations that are new. The caller holds the mutex.
func (f *Front) look(ctx context.Context) error {
	f.looked = f.now()
	all, err := f.store.Associations(ctx)
	if err != nil || f.closed {
		return err
	}
	for i, a := range all {
		if i == 0 {
			f.oldest = a.ID
		}
		if f.sites[a.ID] == nil {
			f.sites[a.ID] = f.found(a)
		}
	}
	return nil
}

// Site is that of an association; of the oldest, where there is no such one.
func (f *Front) Site(ctx context.Context, association string) *Site {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	if f.sites[association] == nil && association != "" && f.now()-f.looked >= lookEvery {
		if err := f.look(ctx); err != nil && f.sites[f.oldest] != nil {
			f.sites[f.oldest].Logger.Error("associations cannot be listed", "error", err)
		}
	}
	if s := f.sites[association]; s != nil {
		return s
	}
	return f.sites[f.oldest]
}

// meant is the association for which a request says that it is: by the secret in its
// path or its header, by name, or by the session.
func (f *Front) meant(r *http.Request) string {
	if desk, found := strings.CutPrefix(r.URL.Path, "/crew/"); found {
		association, _, _ := strings.Cut(desk, "/") // whoever has a link there has no session
		return association
	}
	for _, prefix := range []string{"/tables/", "/v1/tables/"} { // for everybody, who has no session
		if association, found := strings.CutPrefix(r.URL.Path, prefix); found {
			return association
		}
	}
	if r.URL.Path == OtherBack { // there the address is the same for all
		association, _, _ := strings.Cut(r.URL.Query().Get("state"), ".")
		return association
	}
	for segment := range strings.SplitSeq(r.URL.Path, "/") {
		if association, _, found := strings.Cut(segment, "."); found && f.known(association) {
			return association
		}
	}
	if secret, found := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); found {
		association, _, _ := strings.Cut(secret, ".")
		return association
	}
	if named := r.URL.Query().Get("association"); named != "" {
		return named
	}
	for _, name := range []string{cookieNameSecure, cookieName} {
		if cookie, err := r.Cookie(name); err == nil {
			association, _ := people.Split(cookie.Value)
			return association
		}
	}
	return ""
}

// known reports whether an association has a secret's form and may be one: the name of
// a file with a dot in it is none.
func (f *Front) known(association string) bool {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	return f.sites[association] != nil || len(association) == idLetters && strings.Trim(association, "0123456789abcdef") == ""
}

// idLetters is how many letters the id of an association has that a command founded.
const idLetters = 16

// ServeHTTP answers one request.
func (f *Front) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s := f.Site(r.Context(), f.meant(r))
	if s == nil {
		http.Error(w, http.StatusText(http.StatusServiceUnavailable), http.StatusServiceUnavailable)
		return
	}
	s.ServeHTTP(w, r)
}

func (f *Front) each(do func(*Site)) {
	f.mutex.Lock()
	defer f.mutex.Unlock()
	f.closed = true
	for _, s := range f.sites {
		do(s)
	}
}

// Close ends the streams of all; no site is made from then on.
func (f *Front) Close() { f.each((*Site).Close) }

// Wait waits for what is under way beside requests, after the HTTP server has ended.
func (f *Front) Wait() { f.each((*Site).Wait) }
