package hubsim

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"sync"

	"whistlestop/internal/hub/site"
	"whistlestop/internal/outbox"
)

// crowdGames is how many benches send in one moment: more than have a transaction each.
const crowdGames = 6

// together lets benches of different games send a line in one moment to a hub, which puts
// those together that wait for others. Connections break under them, and answers are
// lost. Who comes first is not the seed's to say; what has to hold does not depend on it.
func (n *nation) together(w *world, p *process) {
	for i := len(w.crowd); i < crowdGames; i++ {
		w.crowd = append(w.crowd, w.opened(fmt.Sprintf("01JD0000000000000000CRWD%02d", i)))
	}
	for range 1 + w.random.IntN(4) {
		if w.random.IntN(3) == 0 {
			p.wires.breakAfter(1+w.random.IntN(20), w.random.IntN(2) == 0)
		}
		broke, group := p.wires.counted()
		done, errs := make([]outbox.Done, crowdGames), make([]error, crowdGames)
		var all, ready sync.WaitGroup
		ready.Add(crowdGames)
		for i, b := range w.crowd {
			w.enter(b, w.body())
			wire := &sharedWire{hub: p.site, loses: w.random.IntN(8) == 0, ready: sync.OnceFunc(ready.Done), all: &ready}
			all.Go(func() {
				defer wire.ready() // who does not come that far holds up nobody
				done[i], errs[i] = w.sendOver(wire, b)
			})
		}
		all.Wait()
		for i, b := range w.crowd {
			w.sent(b, done[i], errs[i])
		}
		now, with := p.wires.counted()
		w.counts.Broken += now - broke
		w.counts.Together += with - group
	}
}

// sharedWire is a bench's network to a hub, which may lose every answer to lines.
type sharedWire struct {
	hub   *site.Site
	loses bool
	ready func()          // it has lines to send now
	all   *sync.WaitGroup // until all have, or need not
}

// RoundTrip carries a request to the hub: lines when all the others have some too.
func (x *sharedWire) RoundTrip(r *http.Request) (*http.Response, error) {
	if r.Method == http.MethodPost {
		x.ready()
		x.all.Wait()
	}
	there := httptest.NewRequestWithContext(r.Context(), r.Method, r.URL.RequestURI(), r.Body)
	there.Header = r.Header
	out := httptest.NewRecorder()
	x.hub.ServeHTTP(out, there)
	if x.loses && r.Method == http.MethodPost {
		return nil, errLost
	}
	return out.Result(), nil
}
