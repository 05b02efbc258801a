package site_test

import (
	"net/http"
	"strings"
	"testing"

	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/site"
)

// Pages of a club that is listed read a team's games and have its page in a frame; others
// do neither, and nothing else is let out of the house.
func TestAClubsPageShowsGames(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	team := h.issue(office.Team, "Kelp Bay")
	from := func(path, origin string) answer {
		request := h.request("GET", path, "")
		request.Header.Set("Origin", origin)
		request.Header.Set("Sec-Fetch-Site", "cross-site")
		return h.do(request)
	}
	lets := func(origin string) (read, framed bool) {
		t.Helper()
		games, page := from("/v1/follow/"+team, origin), from("/follow/"+team, origin)
		if games.StatusCode != http.StatusOK || page.StatusCode != http.StatusOK || !strings.Contains(strings.Join(games.Header.Values("Vary"), " "), "Origin") ||
			games.Header.Get("Access-Control-Allow-Credentials") != "" {
			t.Fatal(games.Status, page.Status, games.Header)
		}
		_, ancestors, _ := strings.Cut(page.Header.Get("Content-Security-Policy"), "frame-ancestors ")
		framed = strings.Contains(" "+ancestors+" ", " "+origin+" ")
		if framed != (page.Header.Get("X-Frame-Options") == "") && strings.Contains(ancestors, "none") {
			t.Error(page.Header)
		}
		return games.Header.Get("Access-Control-Allow-Origin") == origin, framed
	}
	if read, framed := lets("https://club.example"); read || framed {
		t.Error("nobody was let in yet")
	}
	if got := admin.post("/admin/origin", "origin", "https://Club.example/our/page?x=1"); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	if read, framed := lets("https://club.example"); !read || !framed {
		t.Error(read, framed)
	}
	for _, other := range []string{"https://evil.example", "http://club.example", "https://club.example.evil.example", "null", "https://club.example:8443"} {
		if read, framed := lets(other); read || framed {
			t.Errorf("%s is let in", other)
		}
	}
	for _, path := range []string{"/admin", "/", "/sign-in", "/status", "/me"} {
		got := from(path, "https://club.example")
		if got.Header.Get("Access-Control-Allow-Origin") != "" || !strings.Contains(got.Header.Get("Content-Security-Policy"), "frame-ancestors 'none'") {
			t.Errorf("%s: %v", path, got.Header)
		}
	}
	if got := admin.post("/admin/origin", "origin", "javascript:alert(1)"); got.StatusCode != http.StatusUnprocessableEntity {
		t.Error(got.Status)
	}
	if got := admin.post("/admin/origin/end", "origin", "https://club.example"); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status)
	}
	if read, framed := lets("https://club.example"); read || framed {
		t.Error("it is let in still")
	}
	if list, err := h.store.Origins(t.Context(), "elsewhere"); err != nil || len(list) != 0 {
		t.Error(list, err)
	}
}

func FuzzReadOrigin(f *testing.F) {
	for _, text := range []string{
		"https://club.example", "https://club.example:443/a", "https://club.example:8443", "http://club.example", "https://1.2.3.4", "https://a", "https://x.example;script-src *",
		"https://x.example 'self'", "https://user@x.example", "https://[::1]", "https://.example.",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		origin := site.ReadOrigin(text)
		if origin == "" {
			return
		}
		if site.ReadOrigin(origin) != origin || !strings.HasPrefix(origin, "https://") || strings.ContainsAny(origin[8:], " ;,'\"/*?#@\\\r\n\t") {
			t.Fatalf("%q: %q", text, origin)
		}
	})
}
