package laptop

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
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

func (s *Service) proposals(*api.Call) (proposalsJSON, error) {
	list := []Proposal{}
	if s.Proposals != nil {
		list = s.Proposals.List()
	}
	return proposalsJSON{Proposals: list}, nil
}

// decide takes what was proposed into its game, or declines it.
func (s *Service) decide(c *api.Call, in decisionJSON) (bench.Restored, error) {
	if s.Proposals == nil {
		return bench.Restored{}, api.NotThere("web.no_api")
	}
	return s.Proposals.Decide(c, c.Part("proposal"), in.Take)
}
