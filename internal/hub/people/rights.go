package people

import (
	"slices"

	"whistlestop/internal/hub/office"
)

// Role is what somebody is in an association.
type Role string

// The roles. Public is whoever has not signed in; nobody is invited as it.
const (
	Admin       Role = "admin"
	Coordinator Role = "coordinator"
	Manager     Role = "manager" // of one team
	Referee     Role = "referee"
	Volunteer   Role = "volunteer"
	Public      Role = "public"
)

// Roles are those that somebody can have, the widest first.
var Roles = []Role{Admin, Coordinator, Manager, Referee, Volunteer}

// Right is one thing that can be allowed.
type Right string

// The rights.
const (
	ReadLedger     Right = "read_ledger"
	WriteLedger    Right = "write_ledger"  // by a seat of a bench
	SignLedger     Right = "sign_ledger"   // the signature of an official
	DecideLedger   Right = "decide_ledger" // which of two benches counts, and who writes a game from now on
	ReadReport     Right = "read_report"
	SignReport     Right = "sign_report"
	ReopenReport   Right = "reopen_report"
	ReadSeason     Right = "read_season"
	ChangeSeason   Right = "change_season"
	ReadRota       Right = "read_rota"
	ChangeRota     Right = "change_rota"
	ReadPeople     Right = "read_people"
	ChangePeople   Right = "change_people" // invitations, roles, names; the log, exports and deletion with it
	ChangeSettings Right = "change_settings"
)

// AllRights are all of them.
var AllRights = []Right{
	ReadLedger, WriteLedger, SignLedger, DecideLedger, ReadReport, SignReport, ReopenReport, ReadSeason, ChangeSeason, ReadRota, ChangeRota,
	ReadPeople, ChangePeople, ChangeSettings,
}

// Reach is how far a right goes.
type Reach int

// The reaches, each one farther than those before.
const (
	Nothing Reach = iota
	Shown         // what anybody is shown: numbers, the table, the summary of a sealed report
	Own           // what belongs to them: see On
	All           // everything of the association
)

// table is who may do what: the association's server, section 8 of its requirements.
// What does not stand here is refused.
var table = map[Role]map[Right]Reach{
	Admin: {
		ReadLedger: All, ReadReport: All, ReopenReport: All, ReadSeason: All, ChangeSeason: All, ReadRota: All, ChangeRota: All,
		ReadPeople: All, ChangePeople: All, ChangeSettings: All,
	},
	Coordinator: {
		ReadLedger: All, DecideLedger: All, ReadReport: All, ReadSeason: All, ReadRota: All, ChangeRota: All, ReadPeople: Own, ChangePeople: Own,
	},
	Manager: {
		ReadLedger: Own, ReadReport: Own, SignReport: Own, ReadSeason: Own, ChangeSeason: Own, ReadRota: Own, ChangeRota: Own,
		ReadPeople: Own, ChangePeople: Own,
	},
	Referee: {ReadLedger: Own, SignLedger: Own, SignReport: Own},
	Volunteer: {
		WriteLedger: Own, ReadRota: Own, ChangeRota: Own, ReadPeople: Own, ChangePeople: Own,
	},
	Public: {ReadLedger: Shown, ReadReport: Shown, ReadSeason: Shown},
}

// Rights is how far a right of a role goes.
func Rights(role Role, right Right) Reach { return table[role][right] }

// gives is which roles a role may give: none that may do more with people than it may
// itself. A manager gives one for the own team only, in the own division if the role has one.
var gives = map[Role][]Role{
	Admin:       Roles,
	Coordinator: {Volunteer},
	Manager:     {Manager},
}

// Membership is a role that somebody has. Team is set for a manager and for nobody else.
type Membership struct {
	Role Role
	Team string
	// Division is that of the manager's team, by its name; empty: every one that has a team
	// of that name.
	Division string
}

// Whole reports whether a membership says all that it must and no more.
func (m Membership) Whole() bool {
	return slices.Contains(Roles, m.Role) && (m.Role == Manager) == (m.Team != "") && (m.Team != "" || m.Division == "")
}

// Team is a team by the names of it and of its division.
type Team struct{ Name, Division string }

// Teams are teams of one division.
func Teams(division string, names ...string) []Team {
	list := make([]Team, len(names))
	for i, name := range names {
		list[i] = Team{name, division}
	}
	return list
}

// manages reports whether a team is one that a manager's role is for. One for every
// division is no part of one for a single division.
func (m Membership) manages(t Team) bool {
	return m.Role == Manager && m.Team != "" && m.Team == t.Name && (m.Division == "" || m.Division == t.Division)
}

// On is what something is done to. The zero On is the whole association, which only
// All reaches.
type On struct {
	Teams  []Team   // to which it belongs
	People []string // ids of those to whom it belongs: who has the duty, who is the referee of the game
	Crew   bool     // it is of the crew
}

// owns reports whether what a role calls its own is meant.
func (m Membership) owns(person string, on On) bool {
	switch m.Role {
	case Coordinator:
		return on.Crew
	case Manager:
		return slices.ContainsFunc(on.Teams, m.manages)
	case Referee, Volunteer:
		return person != "" && slices.Contains(on.People, person)
	case Admin, Public:
	}
	return false
}

// Caller is who asks. The zero Caller is somebody who has not signed in.
type Caller struct {
	Association string
	Person      string // their id; random, and of this association only
	Name        string
	Session     string       // its id
	How         How          // they signed in
	Roles       []Membership // those that count now
	Held        []Membership // those that count as soon as they have a passkey
	Fresh       bool         // signed in a moment ago
	From        string       // shortened address, for the log
}

// By is the caller as the log names them.
func (c Caller) By() office.By { return office.By{Who: c.Person, From: c.From} }

// Reach is how far a right of the caller goes at most.
func (c Caller) Reach(right Right) Reach {
	widest := Rights(Public, right)
	for _, m := range c.Roles {
		widest = max(widest, Rights(m.Role, right))
	}
	return widest
}

// May reports whether the caller may do something to something.
func (c Caller) May(right Right, on On) bool {
	return slices.ContainsFunc(c.Roles, func(m Membership) bool {
		reach := Rights(m.Role, right)
		return reach == All || reach == Own && m.owns(c.Person, on)
	})
}

// Is reports whether the caller has a role.
func (c Caller) Is(role Role) bool { return has(c.Roles, role) }

func has(list []Membership, role Role) bool {
	return slices.ContainsFunc(list, func(m Membership) bool { return m.Role == role })
}

// MayGive reports whether the caller may make somebody a member so.
func (c Caller) MayGive(to Membership) bool {
	return to.Whole() && slices.ContainsFunc(c.Roles, func(m Membership) bool {
		return slices.Contains(gives[m.Role], to.Role) && (m.Role != Manager || m.manages(Team{to.Team, to.Division}))
	})
}
