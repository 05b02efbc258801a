package people_test

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"whistlestop/internal/hub/people"
)

// cells is the table of section 8 written a second time, by hand: a line a right, a
// letter a role (admin, coordinator, manager, referee, volunteer, public). A: all,
// O: own, S: what anybody is shown, -: nothing.
var cells = map[people.Right]string{
	people.ReadLedger:     "AAOO-S",
	people.WriteLedger:    "----O-",
	people.SignLedger:     "---O--",
	people.DecideLedger:   "-A----",
	people.ReadReport:     "AAO--S",
	people.SignReport:     "--OO--",
	people.ReopenReport:   "A-----",
	people.ReadSeason:     "AAO--S",
	people.ChangeSeason:   "A-O---",
	people.ReadRota:       "AAO-O-",
	people.ChangeRota:     "AAO-O-",
	people.ReadPeople:     "AOO-O-",
	people.ChangePeople:   "AOO-O-",
	people.ChangeSettings: "A-----",
}

var reaches = map[byte]people.Reach{'A': people.All, 'O': people.Own, 'S': people.Shown, '-': people.Nothing}

// TestEveryCell tries each role with each right on what is its own, on what is
// somebody else's and on the whole association.
func TestEveryCell(t *testing.T) {
	own := map[people.Role]people.On{
		people.Coordinator: {Crew: true},
		people.Manager:     {Teams: []string{"Northmole", "Kelp Bay"}},
		people.Referee:     {People: []string{"other", "me"}},
		people.Volunteer:   {People: []string{"me"}},
	}
	foreign := people.On{Teams: []string{"Northmole"}, People: []string{"other"}}
	if len(cells) != len(people.AllRights) {
		t.Fatalf("%d rights, %d lines", len(people.AllRights), len(cells))
	}
	for _, right := range people.AllRights {
		for i, role := range append(slices.Clone(people.Roles), people.Public) {
			t.Run(fmt.Sprintf("%s %s", role, right), func(t *testing.T) {
				want := reaches[cells[right][i]]
				if got := people.Rights(role, right); got != want {
					t.Fatalf("reach %d, want %d", got, want)
				}
				m := people.Membership{Role: role}
				if role == people.Manager {
					m.Team = "Kelp Bay"
				}
				c := people.Caller{Person: "me", Roles: []people.Membership{m}}
				if role == people.Public {
					c = people.Caller{}
				}
				if c.Reach(right) < want {
					t.Errorf("the caller reaches %d", c.Reach(right))
				}
				if got := c.May(right, own[role]); got != (want == people.All || want == people.Own && role != people.Public) {
					t.Errorf("own: %v", got)
				}
				if got := c.May(right, foreign); got != (want == people.All) {
					t.Errorf("somebody else's: %v", got)
				}
				if got := c.May(right, people.On{}); got != (want == people.All) {
					t.Errorf("the association: %v", got)
				}
			})
		}
	}
}

// A person without an id or a team owns nothing, whatever else is without one.
func TestNothingIsNobodysOwn(t *testing.T) {
	for _, m := range []people.Membership{{Role: people.Manager}, {Role: people.Volunteer}, {Role: people.Referee}} {
		c := people.Caller{Roles: []people.Membership{m}}
		for _, right := range people.AllRights {
			if c.May(right, people.On{Teams: []string{""}, People: []string{""}}) {
				t.Errorf("%+v: %s", m, right)
			}
		}
	}
}

// TestWhoGivesWhat has each pair of roles.
func TestWhoGivesWhat(t *testing.T) {
	want := map[people.Role]string{people.Admin: "11111", people.Coordinator: "00001", people.Manager: "00100", people.Referee: "00000", people.Volunteer: "00000"}
	with := func(role people.Role, team string) people.Membership {
		if role != people.Manager {
			team = ""
		}
		return people.Membership{Role: role, Team: team}
	}
	for _, giver := range people.Roles {
		c := people.Caller{Person: "me", Roles: []people.Membership{with(giver, "Kelp Bay")}}
		for i, role := range people.Roles {
			if got := c.MayGive(with(role, "Kelp Bay")); got != (want[giver][i] == '1') {
				t.Errorf("%s gives %s: %v", giver, role, got)
			}
		}
		if c.MayGive(people.Membership{Role: people.Manager, Team: "Northmole"}) != (giver == people.Admin) {
			t.Errorf("%s gives another team", giver)
		}
		for _, bad := range []people.Membership{{Role: people.Public}, {}, {Role: people.Manager}, {Role: people.Admin, Team: "Kelp Bay"}, {Role: "owner"}} {
			if c.MayGive(bad) {
				t.Errorf("%s gives %+v", giver, bad)
			}
		}
	}
}

// Whoever gives a role keeps within what they may do with people themselves, and a
// caller with more roles may never do less.
func TestNobodyGivesMoreThanTheyHave(t *testing.T) {
	membership := rapid.Custom(func(t *rapid.T) people.Membership {
		m := people.Membership{Role: rapid.SampledFrom(people.Roles).Draw(t, "role")}
		if m.Role == people.Manager {
			m.Team = rapid.SampledFrom([]string{"Kelp Bay", "Northmole"}).Draw(t, "team")
		}
		return m
	})
	rapid.Check(t, func(t *rapid.T) {
		c := people.Caller{Person: "me", Roles: rapid.SliceOfN(membership, 0, 4).Draw(t, "roles")}
		to := membership.Draw(t, "to")
		if c.MayGive(to) {
			for _, right := range []people.Right{people.ReadPeople, people.ChangePeople, people.ChangeSettings} {
				if people.Rights(to.Role, right) > c.Reach(right) {
					t.Fatalf("%+v gives %+v", c.Roles, to)
				}
			}
		}
		more := c
		more.Roles = append(slices.Clone(c.Roles), membership.Draw(t, "more"))
		right := rapid.SampledFrom(people.AllRights).Draw(t, "right")
		on := people.On{Teams: []string{"Kelp Bay"}, People: []string{"me"}, Crew: true}
		if c.May(right, on) && !more.May(right, on) {
			t.Fatalf("%+v may do less than %+v", more.Roles, c.Roles)
		}
	})
}
