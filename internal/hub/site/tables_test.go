package site_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/api/season"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// harbourLeague has one division, whose teams play the invented game. Its file counts a
// game once it is over; a hub does not.
const harbourLeague = `name = "Harbour League"
season = "2023-24"
from = 2023-10-01
to = 2024-03-31
zone = "UTC"

[[rink]]
id = "saltworks"
name = "Saltworks Arena"

[standings]
procedure = "iihf"
counts = "ended"
last = "lots"

[suspensions]
book = "usah"

[suspensions.serving]
team = "same"
kinds = ["league", "tournament", "playoff"]
elsewhere = "may_play"
postponed = "next_played"
forfeit = "does_not_serve"
abandoned = "does_not_serve"
added_later = "does_not_serve"
several = "one_after_the_other"
playoffs = "as_any_game"
season_end = "carried_over"
coaches = "may_coach_others"
counts = "team"

[[division]]
id = "u14"
name = "Under 14"
plays = "harbour-u14"
meetings = 1
minutes = 75
age = "youth"
team = [{ id = "kelp-bay", name = "Kelp Bay" }, { id = "lanternside", name = "Lanternside" }, { id = "millrace", name = "Millrace" }]
`

func harbourSchedule(days ...string) []byte {
	var games []string
	for i, day := range days {
		pair := [][2]string{{"kelp-bay", "lanternside"}, {"millrace", "kelp-bay"}, {"lanternside", "millrace"}}[i%3]
		games = append(games, fmt.Sprintf(`{"id":"u14-%d","division":"u14","round":1,"home":%q,"visitors":%q,"state":"scheduled",
			"place":{"rink":"saltworks","sheet":1,"day":%q,"start":"18:00","minutes":75}}`, i+1, pair[0], pair[1], day))
	}
	return fmt.Appendf(nil, `{"version":1,"league":"Harbour League","season":"2023-24","games":[%s]}`, strings.Join(games, ","))
}

// seasonFiles are a season in memory.
type seasonFiles struct{ league, schedule, decisions []byte }

func (f *seasonFiles) League() ([]byte, error)          { return f.league, nil }
func (f *seasonFiles) Schedule() ([]byte, error)        { return f.schedule, nil }
func (f *seasonFiles) Decisions() ([]byte, error)       { return f.decisions, nil }
func (f *seasonFiles) HandedIn() ([]byte, error)        { return nil, nil }
func (f *seasonFiles) KeepLeague([]byte) error          { return nil }
func (f *seasonFiles) KeepSchedule([]byte) error        { return nil }
func (f *seasonFiles) KeepScheduleBefore([]byte) error  { return nil }
func (f *seasonFiles) KeepDecisions([]byte) error       { return nil }
func (f *seasonFiles) KeepDecisionsBefore([]byte) error { return nil }
func (f *seasonFiles) KeepHandedIn([]byte) error        { return nil }

// seasons is the season of a hub that is tried out, with how often it was worked out.
type seasons struct {
	store interface {
		counted.Store
		Stamp(ctx context.Context, association string) (string, error)
	}
	files   *seasonFiles
	games   *counted.Games
	service *season.Service
	names   *counted.Names
	made    int
}

func newSeasons(store interface {
	counted.Store
	Stamp(ctx context.Context, association string) (string, error)
}, games *live.Games, names *counted.Names) *seasons {
	s := &seasons{store: store, files: &seasonFiles{}, names: names, games: &counted.Games{Association: association, Live: games, Store: store}}
	s.service = &season.Service{Kept: s.files, Live: s.games, Sealed: true, Logger: slog.New(slog.DiscardHandler)}
	return s
}

func (s *seasons) Stamp(ctx context.Context) (string, error) {
	stamp, err := s.store.Stamp(ctx, association)
	return stamp + string(s.files.league) + string(s.files.schedule) + string(s.files.decisions), err
}

func (s *seasons) Season(ctx context.Context) (counted.Season, error) {
	s.made++
	return s.games.Season(ctx, s.service, s.names)
}

// over is the invented game, ended, as a game of the schedule.
func over(t testing.TB, moment, id, scheduled, home, visitors string, at entry.Millis, changes ...func(*entry.GameOpened)) game {
	t.Helper()
	ledger := played(t, moment, at).ledger
	open, is := ledger[0].Body.(entry.GameOpened)
	if !is {
		t.Fatal("the first entry opens nothing")
	}
	open.Schedule, open.Home.Name, open.Visitors.Name = scheduled, home, visitors
	for _, change := range changes {
		change(&open)
	}
	ledger[0].Body = open
	last := ledger[len(ledger)-1]
	ledger = append(ledger, entry.Entry{
		ID: id[:len(id)-2] + "ZZ", Seq: last.Seq + 1, Wall: last.Wall + 1000, Seat: entry.Solo, Body: entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}},
	})
	prev := ""
	for i, e := range ledger {
		e.Game, e.Prev = id, prev
		ledger[i] = apart(e)
		var err error
		if prev, err = ledger[i].Hash(); err != nil {
			t.Fatal(err)
		}
	}
	return without(t, ledger)
}

const (
	firstGame  = "01JD0000000000000000GAME01"
	secondGame = "01JD0000000000000000GAME02"
)

// shownSeason is what the hub answers of a season.
type shownSeason struct {
	Association, League, Season, Today string
	Divisions                          []struct {
		ID             string
		Played, ToCome int
		Notes          []string
		Places         []struct {
			Name                                string
			Place, Played, Points, For, Against int
		}
		Games []struct {
			ID, Day, Rink, Home, Visitors, State string
			Score                                *[2]int
			Counts                               bool
		}
		Skaters   []struct{ Name, Team string }
		Suspended []struct{ Name, Team string }
	}
	LeftOut []struct{ Home, Visitors, Why, Text string } `json:"left_out"`
}

func (h *hub) tables(query string) (out shownSeason, raw string) {
	h.t.Helper()
	h.later(seasonLater)
	got := h.get("/v1/tables/" + association + query)
	if got.StatusCode != http.StatusOK {
		h.t.Fatal(got.Status, got.body)
	}
	if err := json.Unmarshal([]byte(got.body), &out); err != nil {
		h.t.Fatal(err)
	}
	return out, got.body
}

// seasonLater is after how long a change is shown, and a little.
const seasonLater = 1100

func (h *hub) sendAll(g game, from int) {
	h.t.Helper()
	h.later(30_000)
	if got := h.send(g, from, len(g.lines)); got.StatusCode != http.StatusOK {
		h.t.Fatal(got.Status, got.body)
	}
}

// The tables show what is sealed, as it was sealed last, and say what is left out.
func TestTablesShowWhatIsSealed(t *testing.T) {
	h := newHub(t)
	admin := h.as(people.Admin, "")
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10", "2023-11-12", "2023-11-20")
	if got := h.get("/v1/tables/" + association); got.StatusCode != http.StatusNotFound {
		t.Fatal("shown before anybody turned it on:", got.Status)
	}
	admin.post("/admin/switch", "switch", "tables", "on", "yes")
	want := func(why string, played, left int) shownSeason {
		t.Helper()
		got, raw := h.tables("")
		if len(got.Divisions) != 1 || got.Divisions[0].Played != played || len(got.LeftOut) != left || left > 0 && (got.LeftOut[0].Why != why || !strings.Contains(got.LeftOut[0].Text, " ")) {
			t.Fatalf("%s: want %d played and %d left out: %s", why, played, left, raw)
		}
		return got
	}
	want("nothing was sent", 0, 0)

	g := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock())
	h.sendAll(g, 0)
	if got := want("not sealed", 0, 0); !strings.Contains(strings.Join(got.Divisions[0].Notes, "\n"), "not sealed yet") {
		t.Errorf("it is not said that a game waits for its seal: %q", got.Divisions[0].Notes)
	}
	if got, raw := h.tables("?division=u14"); got.Divisions[0].Games[0].Score != nil {
		t.Errorf("a score that nobody sealed: %s", raw)
	}
	from := len(g.lines)
	g, _ = g.sealed(t, "01JD0000000000000000SEAL01")
	h.sendAll(g, from)
	first := want("sealed", 1, 0)
	if top := first.Divisions[0].Places[0]; top.Played != 1 || top.For+top.Against == 0 {
		t.Errorf("%+v", top)
	}

	// Changed after its seal: what was sealed stands. Sealed again: the newer version does.
	from = len(g.lines)
	scorer := g.another(t, "01JD0000000000000000GOAL01", entry.Goal{Side: entry.Home, Scorer: "9"})
	scorer.At = entry.At{Period: 1, Elapsed: 1000}
	g = without(t, append(g.ledger[:len(g.ledger):len(g.ledger)], apart(scorer)))
	h.sendAll(g, from)
	goals := func(s shownSeason) int { return s.Divisions[0].Places[0].For + s.Divisions[0].Places[0].Against }
	if got := want("changed", 1, 0); goals(got) != goals(first) {
		t.Error("a change counts that nobody sealed")
	}
	admin.post("/reports/reopen", "game", g.id)
	want("reopened", 0, 1)
	from = len(g.lines)
	g, _ = g.sealed(t, "01JD0000000000000000SEAL02")
	h.sendAll(g, from)
	if got := want("sealed again", 1, 0); goals(got) != goals(first)+1 {
		t.Errorf("%d goals, want one more than %d", goals(got), goals(first))
	}

	// Two benches differ: the game counts for nothing until somebody decides.
	h.later(30_000)
	if got := h.send(g.and(t, from-1, "01JD0000000000000000NOTE09"), from-1, from); got.StatusCode != http.StatusConflict {
		t.Fatal(got.Status, got.body)
	}
	want("held", 0, 1)
	h.as(people.Coordinator, "").post("/admin/choose", "game", g.id, "branch", "0")
	want("decided", 1, 0)
}

// A ledger that somebody touched on the hub's disk counts for nothing.
func TestALedgerThatDoesNotHoldIsLeftOut(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10")
	h.as(people.Admin, "").post("/admin/switch", "switch", "tables", "on", "yes")
	g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	// Another entry than the one that was sealed, with all hashes after it made anew.
	forged := slices.Clone(g.ledger)
	for i, e := range forged {
		if i > 0 {
			prev, err := forged[i-1].Hash()
			if err != nil {
				t.Fatal(err)
			}
			e.Prev = prev
		}
		if i == len(forged)-2 {
			e.Wall++
		}
		forged[i] = e
	}
	h.sendAll(without(t, forged), 0)
	if got, raw := h.tables(""); got.Divisions[0].Played != 0 || len(got.LeftOut) != 1 || got.LeftOut[0].Why != "touched" {
		t.Error(raw)
	}
}

// The same ledgers come to the same bytes, however they came in, and again at another hub.
func TestTablesAreTheSameBytes(t *testing.T) {
	bytesOf := func(second bool) string {
		h := newHub(t)
		at := h.clock()
		h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10", "2023-11-12")
		h.as(people.Admin, "").post("/admin/switch", "switch", "tables", "on", "yes")
		a, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", at).sealed(t, "01JD0000000000000000SEAL01")
		b, _ := over(t, "power-play", secondGame, "u14-2", "Millrace", "Kelp Bay", at).sealed(t, "01JD0000000000000000SEAL02")
		if second { // the other way round, in pieces, with readers between, and twice
			h.sendAll(b, 0)
			h.tables("")
			h.later(30_000)
			h.send(a, 0, 5)
			h.tables("?team=kelp-bay")
			h.later(30_000)
			h.send(a, 5, len(a.lines))
			h.later(30_000)
			h.send(b, 0, len(b.lines))
		} else {
			h.sendAll(a, 0)
			h.sendAll(b, 0)
		}
		h.at.Store(int64(at) + 3600_000)
		_, whole := h.tables("?division=u14")
		return whole
	}
	if one, other := bytesOf(false), bytesOf(true); one != other {
		t.Errorf("%s\n%s", one, other)
	}
}

// What section 9 of the hub's requirements says, a cell at a time: before a game its rink
// is shown to nobody who is not of the association, unless that is turned on; players have
// numbers; suspensions are for people.
func TestWhatEverybodyIsShownOfASeason(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10", "2023-12-12")
	admin := h.as(people.Admin, "")
	admin.post("/admin/switch", "switch", "tables", "on", "yes")
	g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	h.sendAll(g, 0)
	link := h.issue(office.Team, "Kelp Bay")
	team := func() string {
		h.later(seasonLater)
		got := h.get("/v1/follow/" + link + "/season")
		if got.StatusCode != http.StatusOK {
			t.Fatal(got.Status, got.body)
		}
		return got.body
	}
	for _, on := range []bool{false, true} {
		_, everybody := h.tables("?team=kelp-bay")
		for who, raw := range map[string]string{"everybody": everybody, "the link of a team": team()} {
			var s shownSeason
			if err := json.Unmarshal([]byte(raw), &s); err != nil {
				t.Fatal(err)
			}
			games := s.Divisions[0].Games
			if len(games) != 2 || games[0].Rink != "Saltworks Arena" || games[0].Score == nil || games[1].Score != nil {
				t.Fatalf("%s: %+v", who, games)
			}
			if shown := games[1].Rink != ""; shown != on {
				t.Errorf("%s, rinks before games on: %v; shown: %v", who, on, shown)
			}
			if len(s.Divisions[0].Skaters) == 0 || len(s.Divisions[0].Suspended) != 0 {
				t.Errorf("%s: %+v", who, s.Divisions[0])
			}
			for _, one := range s.Divisions[0].Skaters {
				if !strings.HasPrefix(one.Name, "#") || one.Team != "Kelp Bay" {
					t.Errorf("%s: %q of %s", who, one.Name, one.Team)
				}
			}
		}
		if page := admin.page("/season?team=kelp-bay"); strings.Count(page.body, "Saltworks Arena") != 2 {
			t.Error("people of the association are not told where a game will be:", page.body)
		}
		admin.post("/admin/switch", "switch", "places", "on", "yes")
	}
}

// Each role at each address of the season, with the switch off and on.
func TestWhoReadsTheSeason(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10")
	admin := h.as(people.Admin, "")
	for _, on := range []string{"no", "yes"} {
		admin.post("/admin/switch", "switch", "tables", "on", on)
		for _, role := range append([]people.Role{people.Public}, people.Roles...) {
			ask := func(path string) int { h.later(30_000); return h.get(path).StatusCode }
			if role != people.Public {
				team := ""
				if role == people.Manager {
					team = "Kelp Bay"
				}
				b := h.as(role, team)
				ask = func(path string) int { h.later(30_000); return b.page(path).StatusCode }
			}
			for _, path := range []string{"/tables/" + association, "/v1/tables/" + association} {
				if got, want := ask(path) == http.StatusOK, on == "yes"; got != want {
					t.Errorf("%s with tables for everybody %s: %s is answered: %v", role, on, path, got)
				}
			}
			if got, want := ask("/season") == http.StatusOK, people.Rights(role, people.ReadSeason) >= people.Own; got != want {
				t.Errorf("%s reads the season: %v", role, got)
			}
		}
		for _, path := range []string{"/tables/elsewhere", "/v1/tables/elsewhere", "/tables/" + association + "?team=nobody", "/v1/tables/" + association + "?division=none"} {
			if got := h.get(path); got.StatusCode != http.StatusNotFound {
				t.Errorf("%s: %s", path, got.Status)
			}
		}
	}
}

// A page of a listed origin reads the tables, and no other page does.
func TestPagesOfClubsReadTables(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10")
	admin := h.as(people.Admin, "")
	admin.post("/admin/switch", "switch", "tables", "on", "yes")
	admin.post("/admin/origin", "origin", "https://club.example")
	link := h.issue(office.Team, "Kelp Bay")
	for origin, want := range map[string]string{"https://club.example": "https://club.example", "https://other.example": ""} {
		for _, path := range []string{"/v1/tables/" + association, "/v1/follow/" + link + "/season"} {
			request := h.request("GET", path, "")
			request.Header.Set("Origin", origin)
			got := h.do(request)
			if got.StatusCode != http.StatusOK || got.Header.Get("Access-Control-Allow-Origin") != want || !slices.Contains(got.Header.Values("Vary"), "Origin") {
				t.Errorf("%s at %s: %s %v", origin, path, got.Status, got.Header)
			}
		}
	}
}

// Many readers cost one working out, and one more after a change; whoever has the newest is
// told so.
func TestManyReadersCostOne(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10")
	h.as(people.Admin, "").post("/admin/switch", "switch", "tables", "on", "yes")
	read := func() (mark string) {
		for range 50 {
			h.later(seasonLater) // each asks whether anything changed
			got := h.get("/v1/tables/" + association)
			if got.StatusCode != http.StatusOK {
				t.Fatal(got.Status)
			}
			mark = got.Header.Get("ETag")
		}
		return mark
	}
	before := read()
	if h.seasons.made != 1 {
		t.Errorf("it was worked out %d times", h.seasons.made)
	}
	request := h.request("GET", "/v1/tables/"+association, "")
	request.Header.Set("If-None-Match", before)
	if got := h.do(request); got.StatusCode != http.StatusNotModified || got.body != "" {
		t.Errorf("%s %q", got.Status, got.body)
	}
	g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	h.sendAll(g, 0)
	if after := read(); after == before || h.seasons.made != 2 {
		t.Errorf("after a change: %v, worked out %d times", after == before, h.seasons.made)
	}
}

// Games of another association are in no table of ours.
func TestTablesOfAnotherAssociation(t *testing.T) {
	h := newHub(t)
	h.second()
	h.seasons.files.league, h.seasons.files.schedule = []byte(harbourLeague), harbourSchedule("2023-11-10")
	h.as(people.Admin, "").post("/admin/switch", "switch", "tables", "on", "yes")
	g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	lines, err := ledgers.Read(g.id, []byte(strings.Join(g.lines, "")), false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := h.store.Append(t.Context(), ledgers.Where{Association: "elsewhere", Game: g.id}, 1, lines, 7); err != nil {
		t.Fatal(err)
	}
	if got, raw := h.tables("?division=u14"); got.Divisions[0].Played != 0 || bytes.Contains([]byte(raw), []byte(`"score"`)) {
		t.Error(raw)
	}
}
