package site_test

import (
	"bytes"
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/people"
)

// twoKelpBays has a team of the invented game's name in a second division.
const twoKelpBays = harbourLeague + `
[[division]]
id = "u10"
name = "Under 10"
plays = "harbour-u14"
meetings = 1
minutes = 60
age = "youth"
team = [{ id = "kelp-bay-u10", name = "Kelp Bay" }, { id = "millrace-u10", name = "Millrace" }]
`

var ofUnder10 = regexp.MustCompile(`name="id" value="([0-9a-f]+)"><input type="hidden" name="role" value="manager"><input type="hidden" name="team" value="Kelp Bay"><input type="hidden" name="division" value="Under 10">`)

// Two divisions may have a team of one name. A manager of the one reads nothing of the
// other and gives no role beyond their own; who has a role from before reads both.
func TestAManagerIsOfOneDivision(t *testing.T) {
	h := newHub(t)
	h.seasons.files.schedule = harbourSchedule("2023-11-10")
	h.seasons.files.league = []byte(twoKelpBays)
	const division = "Under 14"
	g := over(t, "third-period", firstGame, "u14-1", "Kelp  Bay", "Lanternside", h.clock(), func(open *entry.GameOpened) {
		open.Division = bytes.Replace(open.Division, []byte(`"name":"Under 14"`), []byte(`"name":"Under  14 "`), 1) // as a file may have it
	})
	h.send(g, 0, len(g.lines)).head(t)
	if list, err := h.live.List(t.Context()); err != nil || len(list) != 1 || list[0].Division == division || list[0].Home == "Kelp Bay" {
		t.Fatal(err, list)
	}
	admin := h.signIn()
	come := func(as string, pairs ...string) *browser {
		t.Helper()
		page := admin.post("/people/invite", append([]string{"role", "manager", "team", "Kelp Bay"}, pairs...)...)
		link := shownLink.FindStringSubmatch(page.body)
		if link == nil || !strings.Contains(page.body, as+"<") && !strings.Contains(page.body, as+".") {
			t.Fatal(page.Status, page.body)
		}
		in := h.form(html.UnescapeString(link[1]), nil, "name", "Jo Winslade")
		if in.StatusCode != http.StatusSeeOther || len(in.Cookies()) != 1 {
			t.Fatal(in.Status, in.body)
		}
		return &browser{h, in.Cookies()[0]}
	}
	every := come("Manager of Kelp Bay")
	own := come("Manager of Kelp Bay · "+division, "division", division)
	other := come("Manager of Kelp Bay · Under 10", "division", "Under 10")
	for b, reads := range map[*browser]bool{every: true, own: true, other: false} {
		for _, path := range []string{"/admin", "/reports"} {
			if got := b.page(path); got.StatusCode != http.StatusOK || strings.Contains(got.body, g.id) != reads {
				t.Errorf("%s, reads %v: %s %s", path, reads, got.Status, got.body)
			}
		}
		if got := b.page("/reports/" + g.id); (got.StatusCode == http.StatusOK) != reads {
			t.Errorf("reads %v: %s", reads, got.Status)
		}
	}
	// The form offers what they may give, and nothing else is taken.
	if page := own.page("/people").body; strings.Contains(page, `<option value="">`) || strings.Contains(page, "<option>Under 10</option>") ||
		!strings.Contains(page, "<option>"+division+"</option>") || strings.Contains(page, `data-hub="several"`) {
		t.Error(page)
	}
	for to, want := range map[string]int{division: http.StatusOK, "Under 10": http.StatusForbidden, "": http.StatusForbidden} {
		if got := own.post("/people/invite", "role", "manager", "team", "Kelp Bay", "division", to); got.StatusCode != want {
			t.Errorf("gives %q: %s", to, got.Status)
		}
	}
	page := every.page("/people").body
	if !strings.Contains(page, `<option value="">`) || !strings.Contains(page, "<option>Under 10</option>") || strings.Count(page, `data-hub="several"`) != 1 {
		t.Error(page)
	}
	// The role of the one division ends, and no other.
	id := ofUnder10.FindStringSubmatch(admin.page("/people").body)
	if id == nil {
		t.Fatal("the role is not shown")
	}
	if got := admin.post("/people/role", "id", id[1], "role", "manager", "team", "Kelp Bay"); got.StatusCode != http.StatusGone {
		t.Errorf("a role that nobody has ends: %s", got.Status)
	}
	admin.post("/people/role", "id", id[1], "role", "manager", "team", "Kelp Bay", "division", "Under 10")
	for b, stays := range map[*browser]bool{every: true, own: true, other: false} {
		if got := b.page("/people"); (got.StatusCode == http.StatusOK) != stays {
			t.Errorf("stays %v: %s", stays, got.Status)
		}
	}
}

// A manager of one division reads the suspensions of its team, and not of the other
// division's that has the same name.
func TestSuspensionsAreReadByDivision(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league, h.seasons.files.schedule = []byte(twoKelpBays), harbourSchedule("2023-11-10", "2023-11-12", "2023-11-20")
	g := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock())
	call := g.another(t, "01JD0000000000000000CALL01", entry.Penalty{Side: entry.Home, Player: "9", Call: "fighting", Parts: []entry.Part{entry.Major, entry.GameMisconduct}})
	call.At = entry.At{Period: 1, Elapsed: 1000}
	g, _ = without(t, append(g.ledger[:len(g.ledger):len(g.ledger)], apart(call))).sealed(t, "01JD0000000000000000SEAL01")
	h.sendAll(g, 0)
	for division, reads := range map[string]bool{"": true, "Under 14": true, "Under 10": false} {
		h.later(seasonLater)
		b := &browser{h, h.cookieOf(h.people, people.Membership{Role: people.Manager, Team: "Kelp Bay", Division: division})}
		page := b.page("/season")
		if page.StatusCode != http.StatusOK || strings.Contains(page.body, "<b>#9, Kelp Bay</b>") != reads {
			t.Errorf("%q reads %v: %s %s", division, reads, page.Status, page.body)
		}
	}
}
