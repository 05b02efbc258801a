package web_test

import (
	"errors"
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/web"
	"whistlestop/record/roster"
)

// book stands in for the book of teams.
type book struct {
	teams []entry.Team
	err   error
}

func (b *book) Teams() ([]entry.Team, error) { return b.teams, b.err }

func (b *book) KeepTeam(t entry.Team) error {
	if b.err == nil {
		b.teams = append(b.teams, t)
	}
	return b.err
}

func (b *book) ForgetTeam(name string) error {
	for i, t := range b.teams {
		if t.Name == name {
			b.teams = append(b.teams[:i], b.teams[i+1:]...)
			break
		}
	}
	return b.err
}

func withBook(t *testing.T, b *book) *web.Server {
	s := newServer(t, built)
	s.Teams = b
	s.Rosters = func(file []byte) roster.Sheet { return roster.Paste(roster.Text(file)) }
	return s
}

func send(path, file string) *http.Request {
	return with(post(path, file), "Content-Type", "application/octet-stream")
}

type readRoster struct {
	Team     entry.Team
	Header   int
	Usable   bool
	Findings []roster.Finding
}

func (r readRoster) keys() string {
	keys := []string{}
	for _, f := range r.Findings {
		keys = append(keys, f.Say.Key)
	}
	return strings.Join(keys, " ")
}

func TestRostersAreRead(t *testing.T) {
	kept := &book{teams: []entry.Team{{Name: "Kelp Bay", Players: []entry.Player{{Number: "4", Name: "Kit Rowan", Status: entry.Suspended}}}}}
	s := withBook(t, kept)
	const url = "/api/rosters/read"
	good := answerOf[readRoster](t, do(s, send(url+"?division=harbour-u14&team=Kelp+Bay", "Number,Name,Pos\n1,Juno Halvard,G\n7,Maren Holt,D\n")), http.StatusOK)
	if !good.Usable || good.Team.Name != "Kelp Bay" || len(good.Team.Players) != 2 || good.Header != 1 {
		t.Errorf("%+v", good)
	}
	bad := answerOf[readRoster](t, do(s, send(url+"?game="+game+"&team=kelp+bay", "Number,Name\n7,Kit Rowan\n7,Maren Holt\n")), http.StatusOK)
	if bad.Usable || !strings.Contains(bad.keys(), "roster.number_twice") || !strings.Contains(bad.keys(), "roster.was_suspended") {
		t.Errorf("%+v", bad)
	}
	token := pair(t, s, `{"seat":"book"}`)
	fromSeat := answerOf[readRoster](t, do(s, fromPhone(send(url+"?team=Kelp+Bay", "7 Kit Rowan"), token)), http.StatusOK)
	if strings.Contains(fromSeat.keys(), "was_suspended") {
		t.Errorf("the book of teams was told to a phone: %+v", fromSeat)
	}
	run(t, s, []scenario{
		{name: "a stranger", request: fromPhone(send(url, "7 Kit Rowan"), ""), status: 403},
		{name: "11 MB", request: send(url, strings.Repeat("7 Kit Rowan\n", 1<<20)), status: 413, has: []string{"10 MB"}},
		{name: "no such division", request: send(url+"?division=none", "7 Kit Rowan"), status: 422},
		{name: "no such game", request: send(url+"?game=01JD0000000000000000000099", "7 Kit Rowan"), status: 404},
		{name: "another game's division", request: fromPhone(send(url+"?game=01JD0000000000000000000099", "7 K"), token), status: 403},
	})
	kept.err = errors.New("/secret/teams.json is damaged")
	if read := answerOf[readRoster](t, do(s, send(url, "7 Kit Rowan")), http.StatusOK); len(read.Team.Players) != 1 {
		t.Errorf("a damaged book keeps a roster from being read: %+v", read)
	}
}

func TestTeamsAreKept(t *testing.T) {
	kept := &book{}
	s := withBook(t, kept)
	run(t, s, []scenario{
		{name: "none yet", request: get("/api/teams"), status: 200, has: []string{`"teams":[]`}},
		{name: "one", request: put("/api/teams", `{"team":{"name":"Kelp Bay","players":[{"number":"7","name":"Kit Rowan"}]}}`), status: 200, has: []string{"Kit Rowan"}},
		{name: "listed", request: get("/api/teams"), status: 200, has: []string{"Kelp Bay"}},
		{name: "no name", request: put("/api/teams", `{"team":{"name":""}}`), status: 422, has: []string{"needs a name"}},
		{name: "a number twice", request: put("/api/teams", `{"team":{"name":"X","players":[{"number":"7"},{"number":"7"}]}}`), status: 422},
		{name: "a stranger reads", request: fromPhone(get("/api/teams"), ""), status: 403, hasNot: []string{"Kit"}},
		{name: "a seat reads", request: fromPhone(get("/api/teams"), pair(t, s, `{"seat":"book"}`)), status: 403, hasNot: []string{"Kit"}},
		{name: "a stranger writes", request: fromPhone(put("/api/teams", `{"team":{"name":"X"}}`), ""), status: 403},
		{name: "forgotten", request: with(get("/api/teams/Kelp%20Bay"), "method", "DELETE"), status: 200, hasNot: []string{"Kit"}},
	})
	kept.err = errors.New("/secret/teams.json is damaged")
	run(t, s, []scenario{
		{name: "damaged", request: get("/api/teams"), status: 503, has: []string{"teams.json"}, hasNot: []string{"/secret"}},
		{name: "not written over", request: put("/api/teams", `{"team":{"name":"X"}}`), status: 503},
	})
}
