package web

import (
	"context"
	"net/http"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
)

// Proposal is entries of a copy that follow a game here and that nothing shows
// this bench to have written. A person decides whether they happened.
type Proposal struct {
	ID       string       `json:"id"`
	Game     string       `json:"game"`
	Home     string       `json:"home"`
	Visitors string       `json:"visitors"`
	File     string       `json:"file,omitempty"`  // in which they stand; empty: the copy was sent to the bench
	Bench    string       `json:"bench,omitempty"` // which bench the copy says it is of; empty: it does not say
	Here     int          `json:"here"`            // entries of the game that are here
	Count    int          `json:"count"`           // entries that are proposed
	Before   [2]int       `json:"before"`          // the score as it is, home and visitors
	After    [2]int       `json:"after"`           // the score with them
	Lines    []rules.Line `json:"lines"`           // the entries in words
}

// Proposals keeps what waits for a person's decision.
type Proposals interface {
	Propose(ledger []entry.Entry, here int)
	List() []Proposal
	Decide(ctx context.Context, id string, take bool) (bench.Restored, error)
}

// proposalsJSON lists what waits for a decision.
type proposalsJSON struct {
	Proposals []Proposal `json:"proposals"`
}

// decisionJSON is a person's decision about a proposal.
type decisionJSON struct {
	Take bool `json:"take"` // false: what is proposed did not happen
}

func (s *Server) proposals(w http.ResponseWriter, r *http.Request) {
	list := []Proposal{}
	if s.Proposals != nil {
		list = s.Proposals.List()
	}
	s.json(w, r, http.StatusOK, proposalsJSON{Proposals: list})
}

// decide takes what was proposed into its game, or declines it.
func (s *Server) decide(w http.ResponseWriter, r *http.Request) {
	var body decisionJSON
	if !s.read(w, r, &body) {
		return
	}
	if s.Proposals == nil {
		s.problem(w, r, http.StatusNotFound, kindMissing, s.text("web.no_api"))
		return
	}
	done, err := s.Proposals.Decide(r.Context(), r.PathValue("proposal"), body.Take)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, done)
}
