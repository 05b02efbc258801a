package web

import (
	"errors"
	"io"
	"net/http"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
)

// Copy is how one further copy of the games stands.
type Copy struct {
	Folder string       `json:"folder"`
	State  string       `json:"state"` // up_to_date, behind, missing, failing, differs
	Own    bool         `json:"own"`   // on this computer, beside the games
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

func (s *Server) copies(w http.ResponseWriter, r *http.Request) {
	report := CopyReport{Copies: []Copy{}}
	if s.Copies != nil {
		report = s.Copies()
	}
	s.json(w, r, http.StatusOK, report)
}

// restore takes games over from a copy: a backup, a stick's file, or the ledger
// that a phone kept. The body is the file itself. It is checked as a whole before
// anything is taken.
func (s *Server) restore(w http.ResponseWriter, r *http.Request) {
	refused := func(key string, pairs ...string) {
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text(key, pairs...))
	}
	if s.ReadCopy == nil {
		s.problem(w, r, http.StatusNotFound, kindMissing, s.text("web.no_api"))
		return
	}
	content, err := io.ReadAll(http.MaxBytesReader(w, r.Body, copyMost))
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		s.problem(w, r, http.StatusRequestEntityTooLarge, kindTooLarge,
			s.text("restore.too_large", "most", strconv.Itoa(copyMost>>20)))
		return
	}
	if err != nil {
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.unreadable", "why", answer.Plain(err)))
		return
	}
	games, torn, err := s.ReadCopy(content)
	if err != nil {
		refused("restore.no_copy", "why", answer.Plain(err))
		return
	}
	if len(games) == 0 {
		refused("restore.empty")
		return
	}
	for _, g := range games {
		if g.Bad != nil {
			refused("restore.bad_line", "line", strconv.Itoa(g.Line), "why", answer.Plain(g.Bad), "count", strconv.Itoa(len(g.Ledger)))
			return
		}
	}
	taken := make([]bench.Restored, 0, len(games))
	for _, g := range games {
		done, err := s.Bench.Restore(r.Context(), g.Ledger, bench.Taking{Own: g.Own})
		if err != nil {
			s.fail(w, r, err)
			return
		}
		if done.Proposed > 0 && s.Proposals != nil {
			s.Proposals.Propose(g.Ledger, len(g.Ledger)-done.Proposed)
		}
		taken = append(taken, done)
	}
	s.json(w, r, http.StatusOK, takenOverJSON{Games: taken, Torn: torn})
}
