package web

import (
	"errors"
	"net/http"

	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
)

func (s *Server) letCount(w http.ResponseWriter, r *http.Request) {
	var body sessionNameJSON
	if s.read(w, r, &body) {
		s.done(w, r, s.Seats.LetCount(r.PathValue("game"), body.Session))
	}
}

// handOver keeps what a device had entered as a seat and not handed over before
// the seat was taken away. Nobody else gets anything in here: the token of then
// says who it was, and a person decides.
func (s *Server) handOver(w http.ResponseWriter, r *http.Request) {
	cookie, err := r.Cookie(seatCookie(r))
	was, known := seats.Info{}, false
	if err == nil {
		was, known = s.Seats.Former(cookie.Value)
	}
	if !known || was.Game != r.PathValue("game") {
		s.problem(w, r, http.StatusForbidden, kindNotHere, s.text("web.no_former_seat"))
		return
	}
	drafts, body, ok := s.readDrafts(w, r)
	if !ok {
		return
	}
	for _, d := range drafts {
		if err := d.Validate(); err != nil || d.Game != was.Game {
			s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text("web.handed_unusable"))
			return
		}
	}
	if len(drafts) == 0 {
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text("bench.nothing"))
		return
	}
	err = s.Seats.HandOver(seats.Handed{
		ID: drafts[0].ID, Game: was.Game, Device: was.Device, Role: was.Role, Saw: body.Saw, Entries: body.Entries,
	})
	switch {
	case errors.Is(err, seats.ErrFull):
		s.problem(w, r, http.StatusConflict, kindConflict, s.text("web.handed_full"))
		return
	case err != nil:
		s.failSeats(w, r, err)
		return
	}
	s.Logger.Info("a device without a seat handed over what it had", "game", was.Game, "seat", was.Seat, "entries", len(drafts))
	s.json(w, r, http.StatusAccepted, struct{}{})
}

// decideHanded takes what was handed over into its game, with the rights of the
// seat that the device had, or leaves it out.
func (s *Server) decideHanded(w http.ResponseWriter, r *http.Request) {
	var body decisionJSON
	if !s.read(w, r, &body) {
		return
	}
	game, id := r.PathValue("game"), r.PathValue("handed")
	one, err := s.Seats.HandedOver(game, id)
	if err != nil {
		s.failSeats(w, r, err)
		return
	}
	if body.Take {
		drafts, wrong := answer.Entries{Entries: one.Entries}.Drafts()
		if wrong != nil {
			s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.Words.Text(wrong.Key, wrong.Args))
			return
		}
		from := bench.Poster{Seat: one.Seat, Side: one.Side, Name: one.Device, Saw: one.Saw}
		if _, err := s.Bench.PostFrom(r.Context(), game, drafts, from); err != nil {
			s.fail(w, r, err)
			return
		}
	}
	s.done(w, r, s.Seats.Decided(game, id))
}
