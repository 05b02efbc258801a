package web_test

import (
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/internal/web"
)

// Every row of the table is asked by everybody who could ask: a stranger, each seat
// of the game, and a seat of another game. Whoever the row does not name is refused
// before anything else is looked at, and whoever it names is not.
func TestWhoMayAskWhatByTheTable(t *testing.T) {
	s := withReports(t)
	if answer := do(s, post("/api/games", `{"id":"`+otherID+`","division":"harbour-u14","home":{"name":"Millrace"},"visitors":{"name":"Northmole"}}`)); answer.Code != http.StatusCreated {
		t.Fatal(answer.Body)
	}
	tokens := map[entry.Seat]string{}
	for _, seat := range devices {
		tokens[seat] = pair(t, s, `{"seat":"`+string(seat)+`"}`)
	}
	tried := map[api.Access]int{}
	for _, o := range web.Operations() {
		if strings.HasSuffix(o.Path, "/stream") || o.Waits > 0 || o.Path == "/metrics" || strings.HasSuffix(o.Path, "/handed") || o.Method == http.MethodDelete && o.Path == "/api/session" {
			continue // these stay open, or look at more than the row, or end the seat that asks; each has tests of its own
		}
		tried[o.Who]++
		ask := func(game, token string) (refused bool) {
			path := strings.NewReplacer("{game}", game, "{file}", "x.toml").Replace(o.Path)
			r := fromPhone(post(path, "{"), token) // half a body: nothing is done
			r.Method = o.Method
			return do(s, r).Code == http.StatusForbidden
		}
		inside := o.Who == api.GameSeats || o.Who == api.AnySeat
		if got, want := ask(game, ""), o.Who != api.Anyone; got != want {
			t.Errorf("a stranger asks %s %s: refused %v, want %v", o.Method, o.Path, got, want)
		}
		for _, seat := range devices {
			may := o.Who == api.Anyone || inside && (o.Reading == "" || bench.Reads(seat, o.Reading))
			if got := ask(game, tokens[seat]); got == may {
				t.Errorf("%s asks %s %s: refused %v", seat, o.Method, o.Path, got)
			}
			if o.Who == api.GameSeats && !ask(otherID, tokens[seat]) {
				t.Errorf("%s of another game asks %s %s and is answered", seat, o.Method, o.Path)
			}
		}
	}
	for _, who := range []api.Access{api.Anyone, api.GameSeats, api.AnySeat, api.BenchOnly} {
		if tried[who] < 3 {
			t.Errorf("only %d rows for access %d were tried", tried[who], who)
		}
	}
}
