package laptop

import (
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
)

// Copy is how one further copy of the games stands.
type Copy struct {
	Folder string       `json:"folder"`
	State  string       `json:"state"`         // up_to_date, behind, missing, failing, differs
	Own    bool         `json:"own"`           // on this computer, beside the games
	Hub    bool         `json:"hub,omitempty"` // at the association's hub
	Behind int          `json:"behind"`
	Since  entry.Millis `json:"since_ms"`
	Say    rules.Say    `json:"say"`
}

// CopyReport is how the copies stand, and what they showed when the program was
// started.
type CopyReport struct {
	Copies []Copy      `json:"copies"`
	Start  []rules.Say `json:"start,omitempty"`
}

// CopiedGame is a game of a copy that was sent.
type CopiedGame struct {
	Ledger []entry.Entry // as far as it can be trusted
	Line   int           // of the file, where Bad is
	Bad    error         // why not further
	Own    int           // entries, from the first on, that this bench is known to have written
}

// copyMost is the most bytes that a copy which is sent may have: a season of
// games stays below it.
const copyMost = 16 << 20

func (s *Service) copies(*api.Call) (CopyReport, error) {
	if s.Copies == nil {
		return CopyReport{Copies: []Copy{}}, nil
	}
	return s.Copies(), nil
}

// restore takes games over from a copy: a backup, a stick's file, or the ledger
// that a phone kept. The body is the file itself. It is checked as a whole before
// anything is taken.
func (s *Service) restore(c *api.Call) (takenOverJSON, error) {
	none := takenOverJSON{}
	if s.ReadCopy == nil {
		return none, api.NotThere("web.no_api")
	}
	content, err := c.Body()
	if err != nil {
		return none, err
	}
	games, torn, err := s.ReadCopy(content)
	if err != nil {
		return none, api.Refuse("restore.no_copy", "why", api.Plain(err))
	}
	if len(games) == 0 {
		return none, api.Refuse("restore.empty")
	}
	for _, g := range games {
		if g.Bad != nil {
			return none, api.Refuse("restore.bad_line",
				"line", strconv.Itoa(g.Line), "why", api.Plain(g.Bad), "count", strconv.Itoa(len(g.Ledger)))
		}
	}
	taken := make([]bench.Restored, 0, len(games))
	for _, g := range games {
		done, err := s.Bench.Restore(c, g.Ledger, bench.Taking{Own: g.Own})
		if err != nil {
			return none, err
		}
		if done.Proposed > 0 && s.Proposals != nil {
			s.Proposals.Propose(g.Ledger, len(g.Ledger)-done.Proposed)
		}
		taken = append(taken, done)
	}
	return takenOverJSON{Games: taken, Torn: torn}, nil
}
