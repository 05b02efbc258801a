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

// holding is a role that somebody has, with things of theirs and of somebody else's.
type holding struct {
	people.Membership
	own, foreign []people.On
}

// holdings are the roles as people have them: a manager's of one division, and of every
// one that has a team of the name, as those that were given before hubs knew divisions.
func holdings(role people.Role) []holding {
	m := people.Membership{Role: role}
	own := map[people.Role]people.On{
		people.Coordinator: {Crew: true},
		people.Referee:     {People: []string{"other", "me"}},
		people.Volunteer:   {People: []string{"me"}},
	}
	foreign := people.On{Teams: people.Teams("Under 14", "Northmole", "Kelp Bay"), People: []string{"other"}}
	if role != people.Manager {
		return []holding{{m, []people.On{own[role]}, []people.On{foreign}}}
	}
	on := func(division string, teams ...string) people.On {
		return people.On{Teams: people.Teams(division, teams...), People: []string{"other"}}
	}
	m.Team = "Kelp Bay"
	one := m
	one.Division = "Under 14"
	return []holding{
		{m, []people.On{on("Under 14", "Northmole", "Kelp Bay"), on("Under 10", "Kelp Bay"), on("", "Kelp Bay")},
			[]people.On{on("Under 14", "Northmole"), on("Kelp Bay", "Under 14")}},
		{one, []people.On{on("Under 14", "Northmole", "Kelp Bay"), {Teams: []people.Team{{Name: "Kelp Bay", Division: "Under 10"}, {Name: "Kelp Bay", Division: "Under 14"}}}},
			[]people.On{on("Under 14", "Northmole"), on("Under 10", "Kelp Bay", "Northmole"), on("", "Kelp Bay"), on("Kelp Bay", "Under 14")}},
	}
}

// TestEveryCell tries each role with each right on what is its own, on what is
// somebody else's and on the whole association.
func TestEveryCell(t *testing.T) {
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
				for _, held := range holdings(role) {
					cell(t, held, right, want)
				}
			})
		}
	}
}

func cell(t *testing.T, held holding, right people.Right, want people.Reach) {
	t.Helper()
	c := people.Caller{Person: "me", Roles: []people.Membership{held.Membership}}
	if held.Role == people.Public {
		c = people.Caller{}
	}
	if c.Reach(right) < want {
		t.Errorf("the caller reaches %d", c.Reach(right))
	}
	for _, on := range held.own {
		if got := c.May(right, on); got != (want == people.All || want == people.Own && held.Role != people.Public) {
			t.Errorf("%+v, own %+v: %v", held.Membership, on, got)
		}
	}
	for _, on := range append(held.foreign, people.On{}) { // the last is the association
		if got := c.May(right, on); got != (want == people.All) {
			t.Errorf("%+v, not theirs %+v: %v", held.Membership, on, got)
		}
	}
}

// A person without an id or a team owns nothing, whatever else is without one.
func TestNothingIsNobodysOwn(t *testing.T) {
	for _, m := range []people.Membership{{Role: people.Manager}, {Role: people.Volunteer}, {Role: people.Referee}} {
		c := people.Caller{Roles: []people.Membership{m}}
		for _, right := range people.AllRights {
			if c.May(right, people.On{Teams: people.Teams("", ""), People: []string{""}}) {
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
		for _, bad := range []people.Membership{
			{Role: people.Public}, {}, {Role: people.Manager}, {Role: people.Manager, Division: "Under 14"}, {Role: people.Admin, Team: "Kelp Bay"},
			{Role: people.Volunteer, Division: "Under 14"}, {Role: "owner"},
		} {
			if c.MayGive(bad) {
				t.Errorf("%s gives %+v", giver, bad)
			}
		}
	}
}

// A manager of one division gives no role that reaches another one; one of every division
// gives both.
func TestAManagerGivesTheirDivision(t *testing.T) {
	role := func(division string) people.Membership {
		return people.Membership{Role: people.Manager, Team: "Kelp Bay", Division: division}
	}
	for _, row := range []struct {
		has, to string
		may     bool
	}{{"", "", true}, {"", "Under 14", true}, {"Under 14", "Under 14", true}, {"Under 14", "Under 10", false}, {"Under 14", "", false}} {
		c := people.Caller{Roles: []people.Membership{role(row.has)}}
		if got := c.MayGive(role(row.to)); got != row.may {
			t.Errorf("%q gives %q: %v", row.has, row.to, got)
		}
		of := people.Person{ID: "other", Roles: []people.Membership{role(row.to)}}
		if got := c.May(people.ChangePeople, of.On()); got != row.may {
			t.Errorf("%q changes %q: %v", row.has, row.to, got)
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
			m.Division = rapid.SampledFrom([]string{"", "Under 10", "Under 14"}).Draw(t, "division")
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
			for _, division := range []string{"", "Under 10", "Under 14"} {
				on := people.On{Teams: people.Teams(division, to.Team)}
				given := people.Caller{Roles: []people.Membership{to}}
				if to.Role == people.Manager && given.May(people.ReadPeople, on) && !c.May(people.ReadPeople, on) {
					t.Fatalf("%+v gives %+v, which reaches %+v", c.Roles, to, on)
				}
			}
		}
		more := c
		more.Roles = append(slices.Clone(c.Roles), membership.Draw(t, "more"))
		right := rapid.SampledFrom(people.AllRights).Draw(t, "right")
		on := people.On{Teams: people.Teams("Under 14", "Kelp Bay"), People: []string{"me"}, Crew: true}
		if c.May(right, on) && !more.May(right, on) {
			t.Fatalf("%+v may do less than %+v", more.Roles, c.Roles)
		}
	})
}
