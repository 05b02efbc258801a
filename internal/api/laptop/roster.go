package laptop

import (
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/record/roster"
)

// rosterMost is the most bytes of a file with a roster.
const rosterMost = 10 << 20

// ReadRoster reads a file with a roster: a workbook, a CSV file or a text. What
// cannot be read is among the findings.
type ReadRoster func(file []byte) roster.Sheet

// Teams keeps the last roster of every team.
type Teams interface {
	Teams() ([]entry.Team, error)
	KeepTeam(team entry.Team) error
	ForgetTeam(name string) error
}

// rosterReadJSON is a roster that was read. A usable one is what an entry of the kind
// roster_set takes, once the team has a name.
type rosterReadJSON struct {
	Team     entry.Team       `json:"team"`
	Header   int              `json:"header"`
	Usable   bool             `json:"usable"`
	Findings []roster.Finding `json:"findings"`
}

// readRoster reads a roster as a league sends it. The query names the division to
// hold it against, or the game whose division it is, and the team if the file does
// not name it.
func (s *Service) readRoster(c *api.Call) (rosterReadJSON, error) {
	division, err := s.divisionOf(c)
	if err != nil {
		return rosterReadJSON{}, err
	}
	file, err := c.Body()
	if err != nil {
		return rosterReadJSON{}, err
	}
	sheet := s.Rosters(file)
	if sheet.Team.Name == "" {
		sheet.Team.Name = strings.TrimSpace(c.Query("team"))
	}
	if c.Here { // the book of teams stays at the bench
		teams, err := s.Teams.Teams()
		if err != nil {
			s.Logger.Error("read the teams", "error", err) // the roster itself is fine
		}
		for _, team := range teams {
			if roster.SameTeam(team.Name, sheet.Team.Name) {
				sheet.Since(team)
			}
		}
	}
	findings := sheet.Check(division)
	return rosterReadJSON{
		Team: sheet.Team, Header: sheet.Header, Usable: roster.Usable(findings), Findings: findings,
	}, nil
}

// divisionOf returns the division that a question names, or none.
func (s *Service) divisionOf(c *api.Call) (d rulebook.Division, err error) {
	if game := c.Query("game"); game != "" {
		if !c.Reads(game) {
			return d, api.NotHere("web.other_game")
		}
		update, err := s.Bench.State(c, game)
		return update.State.Division, err
	}
	id := c.Query("division")
	if id == "" {
		return d, nil
	}
	for _, one := range c.Divisions().Divisions {
		if one.ID == id {
			return one, nil
		}
	}
	return d, api.Refuse("web.no_division", "division", api.Clip(id))
}

// teamsJSON is the last roster of every team.
type teamsJSON struct {
	Teams []entry.Team `json:"teams"`
}

// keptTeamJSON is a roster to be kept as the last one of its team.
type keptTeamJSON struct {
	Team entry.Team `json:"team"`
}

// teams lists the last roster of every team.
func (s *Service) teams(*api.Call) (teamsJSON, error) {
	list, err := s.Teams.Teams()
	if err != nil {
		return teamsJSON{}, s.noTeams(err)
	}
	if list == nil {
		list = []entry.Team{}
	}
	return teamsJSON{Teams: list}, nil
}

// keepTeam keeps a roster as the last one of its team.
func (s *Service) keepTeam(c *api.Call, in keptTeamJSON) (teamsJSON, error) {
	e := entry.Entry{ID: strings.Repeat("0", 26), Body: entry.RosterSet{Side: entry.Home, Team: in.Team}}
	if err := e.Validate(); err != nil {
		return teamsJSON{}, api.Refuse("refused.invalid", "detail", message.Inside(err)).About("team")
	}
	if err := s.Teams.KeepTeam(in.Team); err != nil {
		return teamsJSON{}, s.noTeams(err)
	}
	return s.teams(c)
}

// forgetTeam takes a team out of the book.
func (s *Service) forgetTeam(c *api.Call) (teamsJSON, error) {
	if err := s.Teams.ForgetTeam(c.Part("team")); err != nil {
		return teamsJSON{}, s.noTeams(err)
	}
	return s.teams(c)
}

func (s *Service) noTeams(err error) error {
	s.Logger.Error("keep the teams", "error", err)
	return api.NotNow("roster.teams_not_kept")
}
