package site

import (
	"net/http"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
)

// proof gives a follower what proves later where the ledger of the game ended within the
// last hour, signed by the hub.
func (s *Site) proof(w http.ResponseWriter, r *http.Request, token office.Token) {
	game := r.PathValue("game")
	if s.Roots == nil || !entry.ValidID(game) || !s.plays(r, game, token) {
		s.problem(w, r, api.NotThere("hub.no_game"))
		return
	}
	proof, there, err := s.Roots.Proof(r.Context(), game)
	switch {
	case err != nil:
		s.fail(w, r, err)
	case !there:
		s.problem(w, r, api.NotThere("hub.no_game"))
	default:
		s.json(w, r, proof)
	}
}

// plays reports whether a team plays in a game: a link of one team opens no other's.
func (s *Site) plays(r *http.Request, game string, token office.Token) bool {
	head, err := s.Store.Head(r.Context(), ledgers.Where{Association: s.Association, Game: game})
	if err != nil || head.Seq == 0 {
		return false
	}
	title, known := s.Live.Title(r.Context(), game, head)
	return known && follows(token, title)
}
