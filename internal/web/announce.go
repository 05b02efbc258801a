package web

import (
	"net/http"

	"whistlestop/announce"
)

// announcements lists what is to be said over the loudspeaker, in the order of
// the game. It has names, so only the bench and its seats may ask.
func (s *Server) announcements(w http.ResponseWriter, r *http.Request) {
	update, err := s.Bench.State(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, announcementsJSON{
		Announcements: announce.List(update.State), Seq: update.State.Seq,
	})
}
