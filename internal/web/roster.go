package web

import (
	"errors"
	"io"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/answer"
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

// readRoster reads a roster as a league sends it. ?division names the division to
// hold it against, ?game the game whose division it is, ?team the team if the file
// does not name it.
func (s *Server) readRoster(w http.ResponseWriter, r *http.Request) {
	division, ok := s.divisionOf(w, r)
	if !ok {
		return
	}
	file, err := io.ReadAll(http.MaxBytesReader(w, r.Body, rosterMost))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.problem(w, r, http.StatusRequestEntityTooLarge, kindTooLarge, s.text("roster.file_too_large", "most", strconv.Itoa(rosterMost>>20)))
		return
	case err != nil:
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.unreadable", "why", answer.Plain(err)))
		return
	}
	sheet := s.Rosters(file)
	if sheet.Team.Name == "" {
		sheet.Team.Name = strings.TrimSpace(r.URL.Query().Get("team"))
	}
	if from(r).here { // the book of teams stays at the bench
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
	s.json(w, r, http.StatusOK, rosterReadJSON{
		Team: sheet.Team, Header: sheet.Header, Usable: roster.Usable(findings), Findings: findings,
	})
}

// divisionOf returns the division that a request names, or none.
func (s *Server) divisionOf(w http.ResponseWriter, r *http.Request) (d rulebook.Division, ok bool) {
	q := r.URL.Query()
	if game := q.Get("game"); game != "" {
		if !from(r).reads(game) {
			s.problem(w, r, http.StatusForbidden, kindNotHere, s.text("web.other_game"))
			return d, false
		}
		update, err := s.Bench.State(r.Context(), game)
		if err != nil {
			s.fail(w, r, err)
			return d, false
		}
		return update.State.Division, true
	}
	id := q.Get("division")
	if id == "" {
		return d, true
	}
	divisions, _ := s.allDivisions()
	for _, one := range divisions {
		if one.ID == id {
			return one, true
		}
	}
	s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text("web.no_division", "division", answer.Clip(id)))
	return d, false
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
func (s *Server) teams(w http.ResponseWriter, r *http.Request) {
	list, err := s.Teams.Teams()
	if err != nil {
		s.teamsFailed(w, r, err)
		return
	}
	if list == nil {
		list = []entry.Team{}
	}
	s.json(w, r, http.StatusOK, teamsJSON{Teams: list})
}

// keepTeam keeps a roster as the last one of its team.
func (s *Server) keepTeam(w http.ResponseWriter, r *http.Request) {
	var body keptTeamJSON
	if !s.read(w, r, &body) {
		return
	}
	e := entry.Entry{ID: strings.Repeat("0", 26), Body: entry.RosterSet{Side: entry.Home, Team: body.Team}}
	if err := e.Validate(); err != nil {
		why := rules.Say{Key: "refused.invalid", Args: rules.Pairs("detail", err.Error())}
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.Words.Text(why.Key, why.Args), rules.Refusal{Field: "team", Say: why})
		return
	}
	if err := s.Teams.KeepTeam(body.Team); err != nil {
		s.teamsFailed(w, r, err)
		return
	}
	s.teams(w, r)
}

// forgetTeam takes a team out of the book.
func (s *Server) forgetTeam(w http.ResponseWriter, r *http.Request) {
	if err := s.Teams.ForgetTeam(r.PathValue("team")); err != nil {
		s.teamsFailed(w, r, err)
		return
	}
	s.teams(w, r)
}

func (s *Server) teamsFailed(w http.ResponseWriter, r *http.Request, err error) {
	s.Logger.Error("keep the teams", "error", err)
	s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("roster.teams_not_kept"))
}
