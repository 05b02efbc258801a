package web

import (
	"net/http"

	"whistlestop/internal/answer"
)

// announcements lists what is to be said over the loudspeaker. It has names, so
// only the bench and its seats may ask.
func (s *Server) announcements(w http.ResponseWriter, r *http.Request) {
	update, err := s.Bench.State(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, answer.AnnouncementsOf(update.State))
}
