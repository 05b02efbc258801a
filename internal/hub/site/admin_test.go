package site_test

import (
	"html"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/rooms"
)

var shownLink = regexp.MustCompile(`data-hub="link">http://hub\.example(/[^<]+)<`)

func TestPagesAreForWhoIsSignedIn(t *testing.T) {
	h := newHub(t)
	for _, path := range []string{"name", "bench", "team", "revoke", "choose", "handover", "leave"} {
		if got := h.do(h.request("POST", "/admin/"+path, "")); got.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %s", path, got.Status)
		}
	}
	if got := h.get("/admin"); got.StatusCode != http.StatusForbidden || !strings.Contains(got.body, "whistlestop hub link") {
		t.Errorf("%s %s", got.Status, got.body)
	}
	for _, kind := range []office.Kind{office.Bench, office.Team, office.First} {
		request := h.request("GET", "/admin", "")
		request.AddCookie(&http.Cookie{Name: "whistlestop_hub", Value: h.issue(kind, "x")})
		if got := h.do(request); got.StatusCode != http.StatusForbidden {
			t.Errorf("%s opens the page: %s", kind, got.Status)
		}
	}
	admin := h.signIn()
	for path, want := range map[string]int{"/": 200, "/status": 200, "/pair": 200, "/admin": 200, "/hub.css": 200, "/nothing": 404, "/v1/nothing": 404} {
		if got := admin.page(path); got.StatusCode != want || strings.Contains(got.body, "hub.page.") || strings.Contains(got.body, "hub.status.") {
			t.Errorf("%s: %s %s", path, got.Status, got.body)
		}
	}
	if c := admin.cookie; !c.HttpOnly || c.SameSite != http.SameSiteLaxMode || c.Secure {
		t.Errorf("%+v", c) // the address is plain http here
	}
	// A page elsewhere that makes the browser send a form is refused.
	request := h.request("POST", "/admin/bench", "label=x")
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	request.Header.Set("Sec-Fetch-Site", "cross-site")
	request.AddCookie(admin.cookie)
	if got := h.do(request); got.StatusCode != http.StatusForbidden {
		t.Errorf("a form from elsewhere: %s", got.Status)
	}
	if got := admin.post("/admin/leave"); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status)
	}
	if got := admin.page("/admin"); got.StatusCode != http.StatusForbidden {
		t.Errorf("after signing out: %s", got.Status)
	}
}

func TestPairingABench(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	page := admin.post("/admin/bench", "label", "Rink <two>")
	link := shownLink.FindStringSubmatch(page.body)
	if link == nil || !strings.HasPrefix(link[1], "/pair#") || !strings.Contains(page.body, "Rink &lt;two&gt;") || !strings.Contains(page.body, "data:image/svg") {
		t.Fatal(page.Status, page.body)
	}
	h.bench = strings.TrimPrefix(html.UnescapeString(link[1]), "/pair#")
	if got := h.asBench("GET", "/v1/bench", ""); got.StatusCode != http.StatusOK || !strings.Contains(got.body, "Harbour League") {
		t.Error(got.Status, got.body)
	}
	if strings.Contains(admin.page("/admin").body, h.bench) {
		t.Error("a secret is shown again")
	}
	list, err := h.office.List(t.Context(), office.Bench)
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range list {
		if got := admin.post("/admin/revoke", "id", one.ID); got.StatusCode != http.StatusSeeOther {
			t.Error(got.Status)
		}
	}
	h.asBench("GET", "/v1/bench", "").no(t, http.StatusUnauthorized, "not_here")
	if got := admin.post("/admin/bench", "label", "  "); got.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("a bench without a name: %s", got.Status)
	}
}

// A bench may be paired for the games of one day: a day after that day it sends nothing more.
func TestPairingABenchForADay(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	day := time.UnixMilli(int64(h.clock())).UTC().AddDate(0, 0, 4)
	page := admin.post("/admin/bench", "label", "A phone", "day", day.Format(time.DateOnly))
	link := shownLink.FindStringSubmatch(page.body)
	if link == nil {
		t.Fatal(page.Status, page.body)
	}
	h.bench = strings.TrimPrefix(html.UnescapeString(link[1]), "/pair#")
	if got := h.asBench("GET", "/v1/bench", ""); got.StatusCode != http.StatusOK {
		t.Error("before the day:", got.Status)
	}
	list, err := h.office.List(t.Context(), office.Bench)
	if err != nil {
		t.Fatal(err)
	}
	var ends time.Time
	for _, one := range list {
		if one.Label == "A phone" {
			ends = time.UnixMilli(int64(one.Expires)).UTC()
		}
	}
	midnight := day.Truncate(24 * time.Hour).Add(24 * time.Hour)
	if want := midnight.Add(12*time.Hour + 24*time.Hour); !ends.Equal(want) {
		t.Errorf("it ends at %s, want %s: a day after the day is over everywhere", ends, want)
	}
	h.later(entry.Millis(ends.UnixMilli()) - h.clock())
	h.asBench("GET", "/v1/bench", "").no(t, http.StatusUnauthorized, "not_here")
	admin = h.signIn() // the session before ended, too
	for _, day := range []string{"2026-13-01", "tomorrow", "1999-12-31", day.Format(time.DateOnly), day.AddDate(0, 10, 0).Format(time.DateOnly)} {
		if got := admin.post("/admin/bench", "label", "A phone", "day", day); got.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(got.body, "not over") {
			t.Errorf("%s: %s", day, got.Status)
		}
	}
}

func TestATeamsLinkIsMadeAnew(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	token := func() string {
		t.Helper()
		link := shownLink.FindStringSubmatch(admin.post("/admin/team", "label", "Kelp Bay").body)
		if link == nil {
			t.Fatal("no link is shown")
		}
		return strings.TrimPrefix(link[1], "/follow/")
	}
	old := token()
	if got := h.get("/v1/follow/" + old); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	next := token()
	h.get("/v1/follow/"+old).no(t, http.StatusGone, "missing")
	if got := h.get("/v1/follow/" + next); got.StatusCode != http.StatusOK || next == old {
		t.Error(got.Status, got.body)
	}
	if got := admin.post("/admin/name", "name", "Harbour  League West"); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status)
	}
	if got := h.get("/v1/follow/" + next); !strings.Contains(got.body, `"association":"Harbour League West"`) {
		t.Error(got.body)
	}
}

func TestStatusInWords(t *testing.T) {
	h := newHub(t)
	if body := h.get("/status").body; strings.Contains(body, "newest entry") {
		t.Errorf("there is none: %s", body)
	}
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	room, err := h.site.Rooms.Open(t.Context(), rooms.Bench{Association: association, ID: "b1"}, salt)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(room.Close)
	phone, err := h.site.Rooms.Enter(t.Context(), room.Room())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(phone.Close)
	body := h.get("/status").body
	for _, want := range []string{"1 benches in a browser have a room for phones here, and 1 phones are in one", "1 games with " + itoa(len(g.lines)) + " entries", "1 benches are paired", "The newest entry was taken at", "No copy of the hub was written", "Nothing needs to be done"} {
		if !strings.Contains(body, want) {
			t.Errorf("%q is not said: %s", want, body)
		}
	}
	h.later(27 * 3600_000)
	if body := h.get("/status").body; !strings.Contains(body, "no copy of the last day") {
		t.Error("a copy that is late is not asked for")
	}
}

func TestSignInsAreCounted(t *testing.T) {
	h := newHub(t)
	refused := false
	for range 20 {
		refused = refused || h.form("/first/guess", nil, "name", "Robin Ashdown").StatusCode == http.StatusTooManyRequests
	}
	if !refused {
		t.Error("somebody may guess as often as they like")
	}
}
