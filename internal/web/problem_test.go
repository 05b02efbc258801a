package web

import (
	"net/http/httptest"
	"testing"
)

// Whoever reads the program's log cannot open anybody's page.
func TestTokensOfLinksAreNotLogged(t *testing.T) {
	for asked, want := range map[string]string{
		"/api/crew/mine/sEcReT":              "/api/crew/mine/",
		"/api/crew/mine/sEcReT/calendar.ics": "/api/crew/mine/",
		"/api/crew/team/sEcReT":              "/api/crew/team/",
		"/api/games/01JD":                    "/api/games/01JD",
	} {
		if got := loggedPath(httptest.NewRequest("GET", asked, nil)); got != want {
			t.Errorf("%s is logged as %s", asked, got)
		}
	}
}
