package site_test

import (
	"net/http"
	"strings"
	"testing"

	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/site"
)

// cookieOf is a session of somebody with roles, opened now.
func (h *hub) cookieOf(desk *people.Desk, roles ...people.Membership) *http.Cookie {
	h.t.Helper()
	ctx := h.t.Context()
	inviter := people.Caller{Person: "test", Roles: []people.Membership{{Role: people.Admin}}, Fresh: true}
	secret, err := desk.First(ctx, "Robin Ashdown", "")
	if err != nil {
		h.t.Fatal(err)
	}
	if first, err := desk.Known(ctx, secret, "", false); err == nil {
		inviter = first
	}
	session, who := "", people.Caller{}
	for _, m := range roles {
		invitation, _, err := desk.Invite(ctx, inviter, m)
		if err != nil {
			h.t.Fatal(err)
		}
		next, err := desk.Accept(ctx, invitation, who, "Alex Marlowe", "", "")
		if err != nil {
			h.t.Fatal(err)
		}
		if next != "" {
			session = next
		}
		if who, err = desk.Known(ctx, session, "", false); err != nil {
			h.t.Fatal(err)
		}
	}
	return &http.Cookie{Name: "whistlestop_hub", Value: session}
}

// second founds another association in the same hub.
func (h *hub) second() (*people.Desk, *office.Office) {
	h.t.Helper()
	a := office.Association{ID: "elsewhere", Name: "Elsewhere", Made: 2}
	if err := h.store.Found(h.t.Context(), a, ledgers.Note{At: 2, Who: "test", What: "founded"}); err != nil {
		h.t.Fatal(err)
	}
	now := h.clock
	return people.New(h.store, a.ID, now, h.random), office.New(h.store, a.ID, now, h.random)
}

var filled = strings.NewReplacer("{game}", "01JD0000000000000000GAME01", "{token}", "none", "{secret}", "none", "{id}", "none", "{file}", "report.pdf", "{room}", "none", "{code}", "none", "{phone}", "none", "{$}", "")

// ask asks a row, as somebody.
func (h *hub) ask(row site.Row, as func(*http.Request)) answer {
	h.t.Helper()
	h.later(30_000) // nobody is counted out
	method, path, found := strings.Cut(row.Pattern, " ")
	if !found {
		method, path = "GET", row.Pattern
	}
	request := h.request(method, filled.Replace(path), "")
	if method == "POST" && !row.Bench {
		request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if as != nil {
		as(request)
	}
	return h.do(request)
}

func with(cookie *http.Cookie) func(*http.Request) {
	return func(r *http.Request) { r.AddCookie(cookie) }
}

// What the guards say, and nothing behind them.
const (
	saysSignIn  = "This page is for people of the association"
	saysRefused = "Your role does not allow this"
	saysStale   = "you must have signed in within the last 15 minutes"
)

// TestEveryRouteWithEveryRole asks each route as nobody, as each role, as a bench, with
// an old sign-in and as the admin of another association, and holds the answer against
// the table of rights. The rows come from the table that the site is made of.
func TestEveryRouteWithEveryRole(t *testing.T) {
	h := newHub(t)
	otherDesk, otherOffice := h.second()
	otherBench, _, err := otherOffice.Issue(t.Context(), office.Bench, "x", office.BenchLasts, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	every := make([]people.Membership, 0, len(people.Roles))
	for _, role := range people.Roles {
		m := people.Membership{Role: role}
		if role == people.Manager {
			m.Team = "Kelp Bay"
		}
		every = append(every, m)
	}
	guarded := 0
	for _, row := range h.site.Table() {
		t.Run(row.Pattern, func(t *testing.T) {
			switch {
			case row.Anybody:
				if got := h.ask(row, nil); got.StatusCode == http.StatusForbidden || got.StatusCode == http.StatusUnauthorized {
					t.Errorf("it is for anybody: %s", got.Status)
				}
			case row.Bench:
				h.askBench(t, row, otherBench)
			case row.Team:
				for _, token := range []string{"none", h.bench, h.cookieOf(h.people, every...).Value} {
					if got := h.ask(site.Row{Pattern: strings.Replace(row.Pattern, "{token}", token, 1)}, nil); got.StatusCode != http.StatusGone {
						t.Errorf("%s", got.Status)
					}
				}
			case row.Signed, row.Right:
				guarded++
				h.askGuarded(t, row, every)
				if got := h.ask(row, with(h.cookieOf(otherDesk, every...))); got.StatusCode != http.StatusForbidden || !strings.Contains(got.body, saysSignIn) {
					t.Errorf("another association's: %s", got.Status)
				}
			default:
				t.Error("the route has no guard")
			}
		})
	}
	if guarded < 15 {
		t.Errorf("%d routes are guarded", guarded)
	}
}

func (h *hub) askBench(t *testing.T, row site.Row, otherBench string) {
	t.Helper()
	bearer := func(secret string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set("Authorization", "Bearer "+secret) }
	}
	h.bench = h.issue(office.Bench, "Saltworks Arena") // one of before may be over: time goes on here
	if got := h.ask(row, bearer(h.bench)); got.StatusCode == http.StatusUnauthorized || got.StatusCode == http.StatusForbidden {
		t.Errorf("a paired bench: %s", got.Status)
	}
	h.ask(row, nil).no(t, http.StatusUnauthorized, "not_here")
	for _, secret := range []string{"none", otherBench, h.cookieOf(h.people, people.Membership{Role: people.Admin}).Value} {
		h.ask(row, bearer(secret)).no(t, http.StatusUnauthorized, "not_here")
	}
}

func (h *hub) askGuarded(t *testing.T, row site.Row, every []people.Membership) {
	t.Helper()
	if got := h.ask(row, nil); got.StatusCode != http.StatusForbidden || !strings.Contains(got.body, saysSignIn) {
		t.Errorf("nobody: %s", got.Status)
	}
	for _, m := range every {
		got := h.ask(row, with(h.cookieOf(h.people, m)))
		allowed := row.Signed || people.Rights(m.Role, row.Of) >= row.Reach
		refused := strings.Contains(got.body, saysRefused)
		if refused == allowed || refused && got.StatusCode != http.StatusForbidden || strings.Contains(got.body, saysSignIn) {
			t.Errorf("%s: allowed is %v, and it was answered %s %s", m.Role, allowed, got.Status, got.body)
		}
	}
	if !row.Fresh {
		return
	}
	old := h.cookieOf(h.people, every...)
	h.later(15 * 60_000)
	if got := h.ask(row, with(old)); got.StatusCode != http.StatusForbidden || !strings.Contains(got.body, saysStale) {
		t.Errorf("with an old sign-in: %s %s", got.Status, got.body)
	}
}
