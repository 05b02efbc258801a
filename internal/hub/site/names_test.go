package site_test

import (
	"bytes"
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/season/league"
)

// namesOf are the lines of a game's names of a kind, as a bench sends them.
func namesOf(t testing.TB, g game, kind entry.Text) (lines string, names []entry.Name) {
	t.Helper()
	seen := map[string]bool{}
	for _, e := range g.ledger {
		for _, n := range e.NamesOf(kind) {
			if seen[n.Commitment] {
				continue
			}
			seen[n.Commitment] = true
			line, err := n.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			lines, names = lines+string(line)+"\n", append(names, n)
		}
	}
	if len(names) == 0 {
		t.Fatal("the game has no names")
	}
	return lines, names
}

func (h *hub) putNames(g game, lines string) answer {
	h.t.Helper()
	h.later(30_000)
	return h.asBench("PUT", "/v1/ledgers/"+g.id+"/names", lines)
}

// somebody is a player of the home team who scored, and so is in every view.
func somebody(t testing.TB, g game) (number, name string) {
	t.Helper()
	open, is := g.ledger[0].Body.(entry.GameOpened)
	if !is {
		t.Fatal("the first entry opens nothing")
	}
	for _, e := range g.ledger {
		goal, is := e.Body.(entry.Goal)
		if !is || goal.Side != entry.Home {
			continue
		}
		for _, p := range open.Home.Players {
			if p.Number == goal.Scorer && len(strings.Fields(p.Name)) == 2 {
				return string(p.Number), p.Name
			}
		}
	}
	t.Fatal("nobody scored")
	return "", ""
}

// everywhere is what everybody is shown of a game and its season, by where.
func (h *hub) everywhere(g game, link string) map[string]string {
	h.t.Helper()
	h.later(seasonLater)
	views := map[string]string{}
	for where, path := range map[string]string{
		"tables": "/v1/tables/" + association + "?team=kelp-bay", "page of tables": "/tables/" + association + "?team=kelp-bay",
		"season of a team": "/v1/follow/" + link + "/season",
	} {
		got := h.get(path)
		if got.StatusCode != http.StatusOK {
			h.t.Fatal(path, got.Status, got.body)
		}
		views[where] = got.body
	}
	s := h.follow(link, g.id, "")
	views["game"] = s.next().data
	s.close()
	return views
}

// Each age, with the switch off and on, in every view: section 9 of the hub's requirements.
func TestHowPlayersAreNamedEverywhere(t *testing.T) {
	const number, initial, whole = "number", "initial", "name"
	for _, test := range []struct{ setting, off, on string }{
		{`age = "youth"`, number, number},
		{`age = "youth"` + "\nyoungest = 13", number, number},
		{`age = "youth"` + "\nyoungest = 14", number, initial},
		{`age = "youth"` + "\nyoungest = 17", number, initial},
		{`age = "youth"` + "\nyoungest = 18", whole, whole},
		{`age = "adult"`, whole, whole},
		{`age = "adult"` + "\nyoungest = 13", number, number},
	} {
		h := newHub(t)
		h.seasons.files.league = []byte(strings.Replace(harbourLeague, `age = "youth"`, test.setting, 1))
		h.seasons.files.schedule = harbourSchedule("2023-11-10")
		admin := h.as(people.Admin, "")
		admin.post("/admin/switch", "switch", "tables", "on", "yes")
		link := h.issue(office.Team, "Kelp Bay")
		g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
		h.sendAll(g, 0)
		lines, _ := namesOf(t, g, entry.TextPlayer)
		jersey, name := somebody(t, g)
		first, last, _ := strings.Cut(name, " ")
		short := first + " " + last[:1] + "."
		for _, on := range []string{"no", "yes", "no"} {
			admin.post("/admin/switch", "switch", "initials", "on", on)
			h.later(seasonLater)
			want := test.off
			if on == "yes" {
				want = test.on
			}
			wanted := strings.Contains(h.asBench("GET", "/v1/ledgers/"+g.id, "").body, `"names":true`)
			put := h.putNames(g, lines)
			if accepted := put.StatusCode == http.StatusOK; accepted != (want != number) || wanted != accepted {
				t.Fatalf("%q, initials %s: names are wanted: %v, and answered %s %s", test.setting, on, wanted, put.Status, put.body)
			}
			kept, err := h.store.Names(t.Context(), where(g))
			if err != nil || (len(kept) > 0) != (want != number) {
				t.Errorf("%q, initials %s: %d names are kept, %v", test.setting, on, len(kept), err)
			}
			if whole := slices.ContainsFunc(kept, func(n ledgers.Name) bool { return n.Text == name }); whole != (want == "name") {
				t.Errorf("%q, initials %s: more is kept than is shown", test.setting, on)
			}
			for view, body := range h.everywhere(g, link) {
				if got := strings.Contains(body, name); got != (want == whole) {
					t.Errorf("%q, initials %s, %s: the name is shown: %v", test.setting, on, view, got)
				}
				if got := strings.Contains(body, short); got != (want == initial) {
					t.Errorf("%q, initials %s, %s: the initial is shown: %v", test.setting, on, view, got)
				}
				if !strings.Contains(body, jersey) {
					t.Errorf("%q, initials %s, %s: the number is not shown", test.setting, on, view)
				}
			}
		}
	}
}

// Players of 14 to 17 have a short name for a season and 90 days: section 9 of the hub's
// requirements. Then they have numbers, and no bench is asked for the names again.
func TestShortNamesHaveATerm(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league = []byte(strings.Replace(harbourLeague, `age = "youth"`, `age = "youth"`+"\nyoungest = 14", 1))
	h.seasons.files.schedule = harbourSchedule("2023-11-10")
	h.as(people.Admin, "").post("/admin/switch", "switch", "initials", "on", "yes")
	g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	h.sendAll(g, 0)
	opened := g.ledger[0].Wall
	lines, _ := namesOf(t, g, entry.TextPlayer)
	if got := h.putNames(g, lines); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	_, name := somebody(t, g)
	first, last, _ := strings.Cut(name, " ")
	short := first + " " + last[:1] + "."
	look := func(want bool) {
		t.Helper()
		ended, err := h.seasons.names.DropEnded(t.Context())
		if err != nil || (len(ended) == 0) != want {
			t.Fatalf("%v ended, %v", ended, err)
		}
		h.live.Moved(g.id)
		h.bench = h.issue(office.Bench, "Saltworks Arena") // the last one is too old by now
		h.as(people.Admin, "").post("/admin/switch", "switch", "tables", "on", "yes")
		for view, body := range h.everywhere(g, h.issue(office.Team, "Kelp Bay")) {
			if got := strings.Contains(body, short); got != want {
				t.Errorf("%s: the short name is shown: %v", view, got)
			}
		}
		if wanted := strings.Contains(h.asBench("GET", "/v1/ledgers/"+g.id, "").body, `"names":true`); wanted != want {
			t.Errorf("the bench is asked for names: %v", wanted)
		}
		kept, err := h.store.Names(t.Context(), where(g))
		if err != nil || (len(kept) > 0) != want {
			t.Errorf("%d names are kept, %v", len(kept), err)
		}
	}
	look(true)
	h.at.Store(int64(opened - 2*24*3600_000)) // the hub's clock was set back
	if naming, err := h.seasons.names.Naming(t.Context(), g.id); err != nil || naming != league.ByNumber {
		t.Errorf("shown by %q before the game, %v", naming, err)
	}
	if ended, err := h.seasons.names.DropEnded(t.Context()); err != nil || len(ended) != 0 {
		t.Errorf("%v ended before they began, %v", ended, err)
	}
	h.at.Store(int64(opened + counted.InitialsLast - 600_000))
	look(true)
	h.at.Store(int64(opened + counted.InitialsLast))
	if naming, err := h.seasons.names.Naming(t.Context(), g.id); err != nil || naming != league.ByNumber {
		t.Errorf("shown by %q before the day's work, %v", naming, err)
	}
	look(false)
	if ended, err := h.seasons.names.DropEnded(t.Context()); err != nil || len(ended) != 0 {
		t.Errorf("%v ended twice, %v", ended, err)
	}
}

// A name that is withdrawn at the bench is gone from every view and from the database
// before the bench is answered, with the number; sending names again does not bring it back.
func TestAWithdrawnNameIsGoneEverywhere(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league = []byte(strings.Replace(harbourLeague, `age = "youth"`, `age = "adult"`, 1))
	h.seasons.files.schedule = harbourSchedule("2023-11-10")
	h.as(people.Admin, "").post("/admin/switch", "switch", "tables", "on", "yes")
	link := h.issue(office.Team, "Kelp Bay")
	g, _ := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	h.sendAll(g, 0)
	lines, names := namesOf(t, g, entry.TextPlayer)
	if got := h.putNames(g, lines); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	jersey, name := somebody(t, g)
	for view, body := range h.everywhere(g, link) {
		if !strings.Contains(body, name) {
			t.Errorf("%s: not shown before", view)
		}
	}
	gone := names[slices.IndexFunc(names, func(n entry.Name) bool { return n.Text == name })]
	body, err := benchKey.Withdrawal([]string{gone.Commitment}, nil)
	if err != nil {
		t.Fatal(err)
	}
	e, err := benchKey.SignWithdrawal(g.another(t, "01JD0000000000000000GONE01", body))
	if err != nil {
		t.Fatal(err)
	}
	from := len(g.lines)
	g = without(t, append(g.ledger[:len(g.ledger):len(g.ledger)], e))
	h.sendAll(g, from)
	for range 2 {
		kept, err := h.store.Names(t.Context(), where(g))
		if err != nil || slices.ContainsFunc(kept, func(n ledgers.Name) bool { return n.Commitment == gone.Commitment || n.Text == name }) {
			t.Error("it is kept", err)
		}
		for view, body := range h.everywhere(g, link) {
			if strings.Contains(body, name) || view != "game" && strings.Contains(body, "#"+jersey+" ") || strings.Contains(body, `"#`+jersey+`"`) {
				t.Errorf("%s: it is shown", view)
			}
		}
		if got := h.putNames(g, lines); got.StatusCode != http.StatusOK { // by an older bench
			t.Fatal(got.Status, got.body)
		}
	}
}

// What a hub does not take of names.
func TestNamesThatAHubDoesNotTake(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league = []byte(strings.Replace(harbourLeague, `age = "youth"`, `age = "adult"`, 1))
	h.seasons.files.schedule = harbourSchedule("2023-11-10", "2023-11-12")
	g := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock(), func(o *entry.GameOpened) {
		o.Home.Staff = []entry.Official{{Role: entry.HeadCoach, Name: "Kim Saltmarsh"}}
	})
	h.sendAll(g, 0)
	players, names := namesOf(t, g, entry.TextPlayer)
	staff, _ := namesOf(t, g, entry.TextStaff)
	if got := h.putNames(g, staff); got.StatusCode != http.StatusOK {
		t.Error("a coach's:", got.Status) // passed over: nothing of it is kept
	}
	none := func(what string) {
		t.Helper()
		if kept, err := h.store.Names(t.Context(), where(g)); err != nil || len(kept) != 0 {
			t.Errorf("%s: %d are kept, %v", what, len(kept), err)
		}
	}
	none("of staff")
	other := names[0]
	other.Text += "x"
	raw, err := other.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	h.putNames(g, string(raw)+"\n").no(t, http.StatusUnprocessableEntity, "refused")
	none("not what was committed to")
	h.putNames(g, "{}\n").no(t, http.StatusUnprocessableEntity, "refused")
	invented := entry.KeepApart(entry.Entry{Game: g.id, Body: entry.RosterSet{Side: entry.Home, Team: entry.Team{Players: []entry.Player{{Number: "1", Name: "Kim Marlowe"}}}}},
		func(string) []byte { return bytes.Repeat([]byte{9}, entry.RandomBytes) }).Names()
	if raw, err = invented[0].MarshalJSON(); err != nil {
		t.Fatal(err)
	}
	if got := h.putNames(g, string(raw)+"\n"); got.StatusCode != http.StatusOK {
		t.Error(got.Status, got.body)
	}
	none("in no line of the game")
	elsewhere := over(t, "third-period", secondGame, "u14-2", "Millrace", "Kelp Bay", h.clock())
	if got := h.putNames(elsewhere, players); got.StatusCode == http.StatusOK {
		t.Error("of a game that is not here:", got.Status)
	}
	if got := h.putNames(g, players); got.StatusCode != http.StatusOK {
		t.Error(got.Status, got.body)
	}
	if kept, err := h.store.Names(t.Context(), where(g)); err != nil || len(kept) != len(names) {
		t.Errorf("%d are kept, %v", len(kept), err)
	}
	if theirs, err := h.store.Names(t.Context(), ledgers.Where{Association: "elsewhere", Game: g.id}); err != nil || len(theirs) != 0 {
		t.Error(fmt.Sprint(theirs), err)
	}
}
