package main

import (
	"bufio"
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
)

// leagueOf14 is a league in which the invented game is played, by players from 14 on.
const leagueOf14 = `name = "Harbour League"
season = "2026-27"
from = 2026-10-01
to = 2027-03-31
zone = "UTC"

[[rink]]
id = "saltworks"
name = "Saltworks Arena"

[[division]]
id = "u14"
name = "Under 14"
plays = "harbour-u14"
age = "youth"
youngest = 14
meetings = 1
minutes = 75
team = [{ id = "kelp-bay", name = "Kelp Bay" }, { id = "lanternside", name = "Lanternside" }]
`

// From a bench to a family's page: players of 14 to 17 have numbers until the association
// turns initials on; then the bench sends their names by itself, the hub keeps first name
// and initial and no more, and all of it goes when that is turned off.
func TestPlayersAreNamedFromABenchToAFamily(t *testing.T) {
	t.Parallel() // it waits most of its time
	p, out := running(t, "hub", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--name", "Harbour League")
	boss := signedIn(t, p, out)
	text, err := json.Marshal(map[string]string{"text": leagueOf14})
	if err != nil {
		t.Fatal(err)
	}
	if said := boss.must("PUT", "/crew/"+p.hub.id+"/api/season/league", string(text)); !strings.Contains(said, `"kept":true`) {
		t.Fatal(said)
	}
	pair, follow := linkOf(t, boss.form("/admin/bench", "label=Saltworks")), linkOf(t, boss.form("/admin/team", "label=Kelp+Bay"))
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", t.TempDir(), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	var game string
	for game = range games {
	}
	ledger, err := bench.store.Load(t.Context(), game)
	if err != nil {
		t.Fatal(err)
	}
	opening, _ := ledger[0].Body.(entry.GameOpened)
	whole := opening.Home.Players[1].Name
	first, last, _ := strings.Cut(whole, " ")
	short := first + " " + last[:1] + "."
	listed(t, follow, func(body string) bool { return strings.Contains(body, game) })
	stream := strings.Replace(follow, "/follow/", "/v1/follow/", 1) + "/games/" + game + "/stream"
	shown := func(want bool) {
		t.Helper()
		var state string
		for range 60 {
			if state = firstState(t, stream); strings.Contains(state, whole) {
				t.Fatal("the whole name is shown")
			}
			if strings.Contains(state, short) == want {
				return
			}
			time.Sleep(1100 * time.Millisecond) // a hub lets an address follow once a second
		}
		t.Fatalf("the initial is shown: %v, want %v: %s", !want, want, state)
	}
	shown(false)
	boss.form("/admin/switch", "switch=initials&on=yes")
	shown(true)
	boss.form("/admin/switch", "switch=initials&on=no")
	shown(false)
}

// asked is the answer of an address, which is open until the test ends or the context does.
func asked(t *testing.T, ctx context.Context, address string) *http.Response {
	t.Helper()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = answer.Body.Close() }) // it was read as far as it is wanted
	return answer
}

// firstState is the state that a stream begins with.
func firstState(t *testing.T, address string) string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	answer := asked(t, ctx, address)
	lines := bufio.NewScanner(answer.Body)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if data, is := strings.CutPrefix(lines.Text(), "data: "); is && strings.Contains(data, `"state"`) {
			return data
		}
	}
	t.Fatal("the stream ended: ", answer.Status, lines.Err())
	return ""
}
