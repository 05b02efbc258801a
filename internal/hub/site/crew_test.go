package site_test

import (
	"net/http/httptest"
	"testing"

	"whistlestop/internal/hub/people"
)

// Who may run the crew's desk and plan its season, by hand beside the table of rights: a
// coordinator everything about the crew, and the season to read; an admin both; nobody else
// anything, and nobody of another association.
func TestWhoRunsTheCrewsDesk(t *testing.T) {
	h := newHub(t)
	other, _ := h.second()
	for _, one := range []struct {
		role                                         people.Role
		crewReads, crewWrites, planReads, planWrites bool
	}{
		{people.Admin, true, true, true, true},
		{people.Coordinator, true, true, true, false},
		{people.Manager, false, false, false, false},
		{people.Referee, false, false, false, false},
		{people.Volunteer, false, false, false, false},
	} {
		m := people.Membership{Role: one.role}
		if one.role == people.Manager {
			m.Team = "Kelp Bay"
		}
		here, there := h.cookieOf(h.people, m), h.cookieOf(other, m)
		for _, ask := range []struct{ season, writes, may bool }{
			{false, false, one.crewReads}, {false, true, one.crewWrites}, {true, false, one.planReads}, {true, true, one.planWrites},
		} {
			for _, fresh := range []bool{false, true} {
				r := httptest.NewRequest("GET", "/crew/"+association+"/desk", nil)
				if _, err := h.site.Coordinates(r, association, ask.season, ask.writes, fresh); err == nil {
					t.Error("nobody may")
				}
				r.AddCookie(here)
				if _, err := h.site.Coordinates(r, association, ask.season, ask.writes, fresh); (err == nil) != ask.may {
					t.Errorf("%s, %+v: %v", one.role, ask, err)
				}
				if _, err := h.site.Coordinates(r, "elsewhere", ask.season, ask.writes, fresh); err == nil {
					t.Errorf("%s of here, at another association's: %+v", one.role, ask)
				}
				r = httptest.NewRequest("GET", "/", nil)
				r.AddCookie(there)
				if _, err := h.site.Coordinates(r, association, ask.season, ask.writes, fresh); err == nil {
					t.Errorf("%s of another association: %+v", one.role, ask)
				}
			}
		}
	}
	r := httptest.NewRequest("GET", "/", nil)
	r.AddCookie(h.cookieOf(h.people, people.Membership{Role: people.Coordinator}))
	h.later(20 * 60_000)
	by, stays := h.site.Coordinates(r, association, false, true, false)
	if _, again := h.site.Coordinates(r, association, false, true, true); stays != nil || by.Who == "" || again == nil {
		t.Error("a sign-in of before takes people out, or does nothing at all")
	}
}
