package web

import (
	"crypto/ed25519"
	"net/http"

	"whistlestop/game/entry"
	"whistlestop/internal/answer"
	"whistlestop/record/seal"
)

// Keys has the key of the bench.
type Keys interface {
	Key() (ed25519.PrivateKey, error)
}

// closedJSON is a report that was closed.
type closedJSON struct {
	answer.Snapshot
	Entry       string `json:"entry"`
	Version     int    `json:"version"`
	Fingerprint string `json:"fingerprint"`
}

// missingJSON is why something is still owed when a report is closed.
type missingJSON struct {
	Missing string `json:"missing"` // empty where nothing is
}

// seal closes the report of a game. The reason may be empty where nothing is
// missing.
func (s *Server) seal(w http.ResponseWriter, r *http.Request) {
	var body missingJSON
	if !s.read(w, r, &body) {
		return
	}
	key, err := s.Keys.Key()
	if err != nil {
		s.Logger.Error("read the bench's key", "error", err)
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("web.no_key"))
		return
	}
	reply, sealed, err := s.Bench.Seal(r.Context(), r.PathValue("game"), body.Missing, from(r).poster(0), seal.Key(key))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	made, _ := sealed.Body.(entry.Sealed)
	snapshot, err := s.snapshot(r, reply.Update, answer.Has{})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, closedJSON{
		Snapshot: snapshot, Entry: sealed.ID, Version: made.Version, Fingerprint: seal.Fingerprint(sealed),
	})
}

// verify says whether the ledger of a game holds together.
func (s *Server) verify(w http.ResponseWriter, r *http.Request) {
	ledger, err := s.Bench.Ledger(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	lines, err := answer.Lines(ledger)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	verdict := seal.Verify(lines)
	if s.Pins != nil {
		pins, err := s.Pins()
		if err != nil {
			s.Logger.Error("read the keys that are known", "error", err)
		}
		verdict.Pinned(pins)
	}
	s.json(w, r, http.StatusOK, verdict)
}
