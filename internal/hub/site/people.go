package site

import (
	"errors"
	"net/http"
	"slices"

	"whistlestop/internal/hub/people"
)

// peopleRoutes are those about people: how they come in, and what they may do with one
// another.
func (s *Site) peopleRoutes() []route {
	return []route{
		s.open("GET /first/{secret}", s.firstPage), // the secret opens it
		s.open("POST /first/{secret}", s.first),
		s.open("GET /invited/{secret}", s.invitedPage), // the secret opens it
		s.open("POST /invited/{secret}", s.accept),
		s.signedIn("POST /admin/leave", s.leave),
		s.signedIn("GET /me", s.mePage),
		s.signedIn("POST /me/correct", s.correctMe),
		s.signedIn("POST /me/session", s.endSession),
		s.need("GET /people", people.ReadPeople, people.Own, s.peoplePage),
		s.fresh("POST /people/invite", people.ChangePeople, people.Own, s.invite),
		s.fresh("POST /people/uninvite", people.ChangePeople, people.Own, s.endInvitation),
		s.fresh("POST /people/correct", people.ChangePeople, people.Own, s.correct),
		s.fresh("POST /people/role", people.ChangePeople, people.Own, s.endRole),
		s.fresh("POST /people/session", people.ChangePeople, people.Own, s.endSession),
	}
}

// invitedPage shows who invites, and as what, before the invitation is used up.
func (s *Site) invitedPage(w http.ResponseWriter, r *http.Request) {
	i, inviter, err := s.People.Invited(r.Context(), r.PathValue("secret"))
	if errors.Is(err, people.ErrGone) {
		s.message(w, r, http.StatusGone, "hub.people.invitation_gone")
		return
	}
	c, failed := s.caller(w, r)
	if err = errors.Join(err, failed); err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "invited", s.ways(r, map[string]any{
		"Secret": r.PathValue("secret"), "Inviter": inviter.Name, "To": i.To, "Caller": c, "Most": textMost,
	}))
}

// accept uses an invitation up.
func (s *Site) accept(w http.ResponseWriter, r *http.Request) {
	if !s.letSignIn(w, r) {
		return
	}
	c, err := s.caller(w, r)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	if r.FormValue("other") != "" {
		c = people.Caller{} // somebody else at the same device
	}
	secret, err := s.People.Accept(r.Context(), r.PathValue("secret"), c, r.FormValue("name"), r.FormValue("address"), origin(r))
	switch {
	case errors.Is(err, people.ErrGone):
		s.message(w, r, http.StatusGone, "hub.people.invitation_gone")
	case err != nil:
		s.failPage(w, r, peopleProblem(err))
	case r.FormValue("with") != "" && s.Other != nil:
		s.acceptedWith(w, r, c, secret)
	case secret == "":
		http.Redirect(w, r, "/admin", http.StatusSeeOther)
	default:
		s.enter(w, r, secret, "/admin")
	}
}

// acceptedWith goes on to the other service after an invitation was accepted, to link
// whoever has it now with whom they are there.
func (s *Site) acceptedWith(w http.ResponseWriter, r *http.Request, c people.Caller, secret string) {
	if secret != "" {
		s.setCookie(w, secret, int(people.OthersLast/1000))
		var err error
		if c, err = s.People.Known(r.Context(), secret, origin(r), s.keys != nil); err != nil {
			s.failPage(w, r, peopleProblem(err))
			return
		}
	}
	s.linkOther(w, r, c)
}

// mePage is what somebody sees of themself.
func (s *Site) mePage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	all, err := s.People.Seen(r.Context(), c)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	var own people.Person
	for _, p := range all {
		if p.ID == c.Person {
			own = p
		}
	}
	sessions, err := s.People.Sessions(r.Context(), c, c.Person)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	keys, err := s.People.Keys(r.Context(), c.Person)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	identities, err := s.People.Identities(r.Context(), c.Person)
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	s.page(w, r, http.StatusOK, "me", s.ways(r, map[string]any{
		"Identities": identities, "Caller": c, "Person": own, "Sessions": sessions, "Most": textMost, "Keys": keys, "MoreKeys": s.moreKeys(c, keys),
	}))
}

// moreKeys reports whether an admin is asked for another passkey.
func (s *Site) moreKeys(c people.Caller, keys []people.Key) bool {
	return s.keys != nil && len(c.Held) == 0 && c.Is(people.Admin) && len(keys) < people.KeysAsked
}

func (s *Site) correctMe(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if !c.Fresh {
		s.again(w, r, c)
		return
	}
	s.doneAt(w, r, "/me", s.People.Correct(r.Context(), c, c.Person, r.FormValue("name"), r.FormValue("address")))
}

// doneAt goes to a page after a change, or says why there was none.
func (s *Site) doneAt(w http.ResponseWriter, r *http.Request, page string, err error) {
	if err != nil {
		s.failPage(w, r, peopleProblem(err))
		return
	}
	http.Redirect(w, r, page, http.StatusSeeOther)
}

// endSession ends a session of the caller, or of somebody whom they may change.
func (s *Site) endSession(w http.ResponseWriter, r *http.Request, c people.Caller) {
	err := s.People.EndSession(r.Context(), c, r.FormValue("id"))
	if errors.Is(err, people.ErrGone) {
		err = nil // it ended meanwhile
	}
	page := "/people"
	if r.URL.Path == "/me/session" {
		page = "/me"
	}
	s.doneAt(w, r, page, err)
}

// member is a person as somebody else sees them.
type member struct {
	people.Person
	Sessions []people.Session
	Roles    []memberRole
	Own      bool
	Links    bool // the caller may hand them a link that signs in
	Goes     bool // the caller may delete them
}

// memberRole is a role, and whether the caller may take it.
type memberRole struct {
	people.Membership
	Ends bool
}

// inviting is an invitation with who made it.
type inviting struct {
	people.Invitation
	By string
}

// peoplePage shows the people whom the caller may read.
func (s *Site) peoplePage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	all, err := s.People.Seen(r.Context(), c)
	sessions, failed := s.People.Sessions(r.Context(), c, "")
	err = errors.Join(err, failed)
	invited, failed := s.People.Invitations(r.Context(), c)
	if err = errors.Join(err, failed); err != nil {
		s.failPage(w, r, err)
		return
	}
	names := map[string]string{}
	members := make([]member, 0, len(all))
	for _, p := range all {
		names[p.ID] = p.Name
		changes := c.May(people.ChangePeople, p.On())
		m := member{Person: p, Goes: changes && p.ID != c.Person, Own: p.ID == c.Person, Links: p.ID != c.Person && len(p.Roles) > 0 && changes}
		for _, role := range p.Roles {
			m.Roles = append(m.Roles, memberRole{role, changes && c.MayGive(role)})
			m.Goes = m.Goes && c.MayGive(role)
			m.Links = m.Links && role.Role != people.Admin && c.MayGive(role)
		}
		for _, one := range sessions {
			if one.Person == p.ID {
				m.Sessions = append(m.Sessions, one)
			}
		}
		members = append(members, m)
	}
	waiting := make([]inviting, 0, len(invited))
	for _, i := range invited {
		waiting = append(waiting, inviting{i, names[i.Inviter]})
	}
	divisions, open, several := s.divisionsOf(r, c)
	s.page(w, r, http.StatusOK, "people", map[string]any{
		"Name": s.name(r), "Caller": c, "People": members, "Invitations": waiting, "Gives": given(c), "Teams": s.teamsOf(r, c), "Most": textMost,
		"Divisions": divisions, "Open": open, "Several": several,
	})
}

// given are the roles that a caller may give, the narrowest first; of a manager's,
// whatever team.
func given(c people.Caller) (roles []people.Role) {
	for _, role := range slices.Backward(people.Roles) {
		to := people.Membership{Role: role}
		able := c.MayGive(to)
		if role == people.Manager {
			able = c.Is(people.Admin) || c.Is(people.Manager)
		}
		if able {
			roles = append(roles, role)
		}
	}
	return roles
}

// teamsOf are the names of teams that a caller may choose from: those of the games that
// were sent, or a manager's own.
func (s *Site) teamsOf(r *http.Request, c people.Caller) (names []string) {
	if !c.Is(people.Admin) {
		for _, m := range c.Roles {
			if m.Role == people.Manager {
				names = append(names, m.Team)
			}
		}
		slices.Sort(names)
		return slices.Compact(names)
	}
	games, err := s.Live.List(r.Context())
	if err != nil {
		s.Logger.Warn("names of teams cannot be listed", "error", err)
	}
	for _, g := range games {
		for _, name := range []string{g.Home, g.Visitors} {
			if name != "" && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	slices.Sort(names)
	return names
}

// divisionsOf are the divisions that a caller may choose for a manager's team, whether they
// may leave it open, and which teams' names several of them have.
func (s *Site) divisionsOf(r *http.Request, c people.Caller) (names []string, open bool, several map[string]bool) {
	names, several = s.divisions(r.Context())
	open = c.Is(people.Admin)
	var own []string
	for _, m := range c.Roles {
		if m.Role == people.Manager && m.Division != "" {
			own = append(own, m.Division)
		}
		open = open || m.Role == people.Manager && m.Division == ""
	}
	if !open {
		slices.Sort(own)
		names = slices.Compact(own)
	}
	return names, open, several
}

// membershipIn is a role as a form names it.
func membershipIn(r *http.Request) (people.Membership, error) {
	m := people.Membership{Role: people.Role(r.FormValue("role"))}
	if m.Role != people.Manager {
		return m, nil
	}
	var err error
	m.Team, err = people.ReadName(r.FormValue("team"))
	if division := r.FormValue("division"); err == nil && division != "" {
		m.Division, err = people.ReadName(division)
	}
	return m, err
}

// invite keeps a place for somebody and shows the link, once.
func (s *Site) invite(w http.ResponseWriter, r *http.Request, c people.Caller) {
	to, err := membershipIn(r)
	var secret string
	var i people.Invitation
	if err == nil {
		secret, i, err = s.People.Invite(r.Context(), c, to)
	}
	if err != nil {
		s.failPage(w, r, peopleProblem(err))
		return
	}
	s.handed(w, r, "/invited/"+secret, map[string]any{"To": to, "Ends": i.Expires})
}

func (s *Site) endInvitation(w http.ResponseWriter, r *http.Request, c people.Caller) {
	err := s.People.EndInvitation(r.Context(), c, r.FormValue("id"))
	if errors.Is(err, people.ErrGone) {
		err = nil // it was used or ended meanwhile
	}
	s.doneAt(w, r, "/people", err)
}

func (s *Site) correct(w http.ResponseWriter, r *http.Request, c people.Caller) {
	s.doneAt(w, r, "/people", s.People.Correct(r.Context(), c, r.FormValue("id"), r.FormValue("name"), r.FormValue("address")))
}

func (s *Site) endRole(w http.ResponseWriter, r *http.Request, c people.Caller) {
	m, err := membershipIn(r)
	if err == nil {
		err = s.People.End(r.Context(), c, r.FormValue("id"), m)
	}
	s.doneAt(w, r, "/people", err)
}
