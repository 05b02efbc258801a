package site_test

import (
	"crypto/rand"
	"html"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/site"
	"whistlestop/internal/lan"
	"whistlestop/internal/locale"
)

var idInForm = regexp.MustCompile(`name="id" value="([0-9a-f]+)"`)

// An admin invites a manager, who comes in, sees their own team's games and no more,
// and is shown out.
func TestSomebodyIsInvited(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	admin := h.signIn()
	page := admin.post("/people/invite", "role", "manager", "team", "Kelp Bay")
	link := shownLink.FindStringSubmatch(page.body)
	if link == nil || !strings.HasPrefix(link[1], "/invited/harbour.") || !strings.Contains(page.body, "Manager of Kelp Bay") {
		t.Fatal(page.Status, page.body)
	}
	path := html.UnescapeString(link[1])
	looked := h.get(path)
	if looked.StatusCode != http.StatusOK || !strings.Contains(looked.body, "Robin Ashdown invites you as: Manager of Kelp Bay") {
		t.Fatal(looked.Status, looked.body)
	}
	if got := h.form(path, nil, "name", ""); got.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("without a name: %s", got.Status)
	}
	in := h.form(path, nil, "name", "Jo <b>Winslade</b>", "address", "jo@club.example")
	if in.StatusCode != http.StatusSeeOther || len(in.Cookies()) != 1 {
		t.Fatal(in.Status, in.body)
	}
	if got := h.form(path, nil, "name", "Pat Underhill"); got.StatusCode != http.StatusGone {
		t.Errorf("used twice: %s", got.Status)
	}
	jo := &browser{h, in.Cookies()[0]}
	own := jo.page("/admin").body
	if !strings.Contains(own, "Kelp Bay") || strings.Contains(own, "/admin/choose") || strings.Contains(own, "/admin/bench") || strings.Contains(own, `id="log"`) {
		t.Error(own)
	}
	if seen := jo.page("/people").body; strings.Contains(seen, "Robin") || !strings.Contains(seen, "Jo &lt;b&gt;Winslade") {
		t.Error(seen)
	}
	if got := jo.post("/people/invite", "role", "manager", "team", "Northmole"); got.StatusCode != http.StatusForbidden {
		t.Errorf("another team's manager: %s", got.Status)
	}
	if got := jo.post("/me/correct", "name", "Jo Winslade", "address", ""); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status, got.body)
	}
	all := admin.page("/people").body
	if !strings.Contains(all, "Jo Winslade") || strings.Contains(all, "jo@club.example") {
		t.Error(all)
	}
	// The role ends: nothing is open to them any more, at once.
	_, rest, _ := strings.Cut(all, "Jo Winslade")
	id := idInForm.FindStringSubmatch(rest)
	if id == nil {
		t.Fatal(rest)
	}
	if got := admin.post("/people/role", "id", id[1], "role", "manager", "team", "Kelp Bay"); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	if got := jo.page("/admin"); got.StatusCode != http.StatusForbidden {
		t.Error(got.Status)
	}
}

func TestAnInvitationIsTakenBack(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	link := shownLink.FindStringSubmatch(admin.post("/people/invite", "role", "volunteer").body)
	id := idInForm.FindStringSubmatch(admin.page("/people").body)
	if link == nil || id == nil {
		t.Fatal("no invitation is shown")
	}
	if got := admin.post("/people/uninvite", "id", id[1]); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status)
	}
	for _, got := range []answer{h.get(link[1]), h.form(link[1], nil, "name", "Alex Marlowe")} {
		if got.StatusCode != http.StatusGone || !strings.Contains(got.body, "Ask whoever invited you") {
			t.Error(got.Status, got.body)
		}
	}
	if got := admin.post("/people/invite", "role", "owner"); got.StatusCode != http.StatusForbidden {
		t.Error(got.Status)
	}
	if got := admin.post("/people/invite", "role", "manager"); got.StatusCode != http.StatusUnprocessableEntity {
		t.Error(got.Status)
	}
}

// Each of the sessions is ended by itself.
func TestSessionsAreEnded(t *testing.T) {
	h := newHub(t)
	one, two := h.signIn(), h.signIn()
	page := two.page("/me").body
	_, others, found := strings.Cut(page, `action="/me/session"`)
	id := idInForm.FindStringSubmatch(others)
	if !found || id == nil || !strings.Contains(page, "This browser.") {
		t.Fatal(page)
	}
	if got := two.post("/me/session", "id", id[1]); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status)
	}
	if got := two.page("/me"); got.StatusCode != http.StatusOK {
		t.Error(got.Status)
	}
	if got := one.page("/me"); got.StatusCode != http.StatusForbidden {
		t.Error(got.Status)
	}
}

// Where the hub is reached by https the cookie can be set by nobody else.
func TestTheCookieOverHTTPS(t *testing.T) {
	h := newHub(t)
	secure := h.site.Config
	secure.Address = "https://hub.example"
	s := site.New(secure)
	defer s.Close()
	request := httptest.NewRequest(http.MethodPost, "/first/"+h.issue(office.First, ""), strings.NewReader("name=Robin+Ashdown"))
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	out := httptest.NewRecorder()
	s.ServeHTTP(out, request)
	set := out.Result().Cookies()
	if len(set) != 1 || set[0].Name != "__Host-whistlestop_hub" || !set[0].Secure || !set[0].HttpOnly || set[0].SameSite != http.SameSiteLaxMode ||
		set[0].Path != "/" || set[0].Domain != "" {
		t.Errorf("%d %+v", out.Code, set)
	}
}

// Two associations in one hub: each secret leads to its own, and an association that a
// command founds beside is there without a new start.
func TestSeveralAssociations(t *testing.T) {
	h := newHub(t)
	now := h.clock
	front, err := site.NewFront(t.Context(), h.store, now, func(a office.Association) *site.Site {
		return site.New(site.Config{
			Store: h.store, Office: office.New(h.store, a.ID, now, rand.Reader), People: people.New(h.store, a.ID, now, rand.Reader),
			Live:        live.New(live.Config{Store: h.store, Association: a.ID, Now: now, Logger: slog.New(slog.DiscardHandler)}),
			Association: a.ID, Address: "http://hub.example", Now: now, Logger: slog.New(slog.DiscardHandler),
			Languages: func(...string) api.Words { return locale.English() }, QR: lan.QR, Pages: fstest.MapFS{},
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	h.server.Config.Handler = front
	t.Cleanup(func() { front.Close(); front.Wait() })

	otherDesk, otherOffice := h.second()
	h.later(2_000)
	bench, _, err := otherOffice.Issue(t.Context(), office.Bench, "x", office.BenchLasts, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	ours := h.bench
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	h.bench = bench
	if got := h.asBench("GET", "/v1/bench", ""); !strings.Contains(got.body, `"association":"Elsewhere"`) {
		t.Error(got.Status, got.body)
	}
	if head := h.asBench("GET", "/v1/ledgers/"+g.id, "").head(t); head.Seq != 0 {
		t.Errorf("another association's bench sees our game: %+v", head)
	}
	h.bench = ours
	if got := h.asBench("GET", "/v1/bench", ""); !strings.Contains(got.body, `"association":"Harbour League"`) {
		t.Error(got.Status, got.body)
	}
	team, _, err := otherOffice.Issue(t.Context(), office.Team, "Kelp Bay", office.TeamLasts, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	if got := h.get("/v1/follow/" + team); !strings.Contains(got.body, `"association":"Elsewhere"`) || !strings.Contains(got.body, `"games":[]`) {
		t.Error(got.Status, got.body)
	}
	their := &browser{h, h.cookieOf(otherDesk, people.Membership{Role: people.Admin})}
	if got := their.page("/admin"); got.StatusCode != http.StatusOK || !strings.Contains(got.body, "Elsewhere") || strings.Contains(got.body, g.id) {
		t.Error(got.Status, got.body)
	}
	// To name another association opens nothing there, and takes nothing away here.
	if got := their.page("/admin?association=" + association); got.StatusCode != http.StatusForbidden || len(got.Cookies()) != 0 {
		t.Error(got.Status, got.Cookies())
	}
	if got := h.get("/"); !strings.Contains(got.body, "/sign-in?association=elsewhere") || !strings.Contains(got.body, "Harbour League") {
		t.Error(got.body)
	}
	if got := h.get("/v1/follow/none.xyz"); got.StatusCode != http.StatusGone {
		t.Error(got.Status)
	}
}
