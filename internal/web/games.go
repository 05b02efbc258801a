package web

import (
	"net/http"
	"strconv"

	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
)

func (s *Server) health(w http.ResponseWriter, r *http.Request) {
	answer, status := healthJSON{Status: "ok", Now: s.Bench.Now()}, http.StatusOK
	if s.Healthy != nil {
		if err := s.Healthy(r.Context()); err != nil {
			s.Logger.Error("the bench is not healthy", "error", err)
			answer.Status, status = "failing", http.StatusServiceUnavailable
		}
	}
	s.json(w, r, status, answer)
}

// time answers when the question came and when the answer left, so that whoever
// asks can work out how far its own clock is off.
func (s *Server) time(w http.ResponseWriter, r *http.Request) {
	received := s.Bench.Now()
	s.json(w, r, http.StatusOK, answer.Time{Received: received, Sent: s.Bench.Now()})
}

func (s *Server) divisions(w http.ResponseWriter, r *http.Request) {
	list, damaged := s.allDivisions()
	own := []string{}
	for _, d := range list[len(rulebook.Divisions()):] {
		own = append(own, d.ID)
	}
	s.json(w, r, http.StatusOK, divisionsJSON{Divisions: list, Own: own, Damaged: damaged})
}

func (s *Server) codes(w http.ResponseWriter, r *http.Request) {
	s.json(w, r, http.StatusOK, answer.AllCodes())
}

func (s *Server) games(w http.ResponseWriter, r *http.Request) {
	titles, err := s.Bench.Games(r.Context())
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, answer.Games{Games: titles})
}

func (s *Server) open(w http.ResponseWriter, r *http.Request) {
	var body openingJSON
	if !s.read(w, r, &body) {
		return
	}
	divisions, _ := s.allDivisions()
	for _, division := range divisions {
		if division.ID != body.Division {
			continue
		}
		_, err := s.Bench.Open(r.Context(), bench.Opening{
			ID: body.ID, Number: body.Number, Venue: body.Venue, Date: body.Date,
			Division: division, Home: body.Home, Visitors: body.Visitors,
		})
		if err != nil {
			s.fail(w, r, err)
			return
		}
		w.Header().Set("Location", "/api/games/"+body.ID)
		s.json(w, r, http.StatusCreated, openedJSON{ID: body.ID})
		return
	}
	s.problem(w, r, http.StatusUnprocessableEntity, kindRefused,
		s.text("web.no_division", "division", answer.Clip(body.Division)),
		rules.Refusal{Field: "division", Say: rules.Say{
			Key: "web.no_division", Args: rules.Pairs("division", answer.Clip(body.Division)),
		}})
}

func (s *Server) state(w http.ResponseWriter, r *http.Request) {
	update, err := s.Bench.State(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	snapshot, err := s.snapshot(r, update, answer.Has{})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, snapshot)
}

// sees is the view of whoever sent the request.
func sees(r *http.Request) view {
	return viewOf(from(r), r.PathValue("game"), r.URL.Query().Get("view"))
}

// snapshot is an update as whoever asked may see it: what changed, where they say
// which state they have.
func (s *Server) snapshot(r *http.Request, u bench.Update, has answer.Has) (answer.Snapshot, error) {
	v := sees(r)
	doc, err := s.frames.doc(u, v)
	if err != nil {
		return answer.Snapshot{}, err
	}
	snapshot := answer.Snapshot{Now: s.Bench.Now()}
	snapshot.From(doc, s.run, has)
	if v.may(bench.ReadCards) {
		snapshot.Card = u.Card
	}
	return snapshot, nil
}

// ledger answers with the lines of the ledger; with ?after=n only those after
// the nth, for whoever keeps a copy. With ?texts=inside the entries are written
// for reading: each with its texts, and in no chain.
func (s *Server) ledger(w http.ResponseWriter, r *http.Request) {
	after := 0
	if text := r.URL.Query().Get("after"); text != "" {
		var err error
		if after, err = strconv.Atoi(text); err != nil || after < 0 {
			s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.no_number", "text", answer.Clip(text)))
			return
		}
	}
	ledger, err := s.Bench.Ledger(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	lines, err := sees(r).file(ledger[min(after, len(ledger)):], r.URL.Query().Get("texts") == "inside")
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/jsonl; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	s.write(w, r, lines)
}

func (s *Server) preview(w http.ResponseWriter, r *http.Request) {
	drafts, body, ok := s.readDrafts(w, r)
	if !ok {
		return
	}
	considered, err := s.Bench.Preview(r.Context(), r.PathValue("game"), drafts)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	doc, err := s.frames.would(considered, sees(r))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var state answer.Snapshot
	state.From(doc, s.run, body.Has)
	s.json(w, r, http.StatusOK, answer.Previewed{
		Run: s.run, Says: considered.Says, Warnings: considered.Warnings, Refused: considered.Refused,
		State: state.State, Change: state.Change,
	})
}

func (s *Server) post(w http.ResponseWriter, r *http.Request) {
	drafts, body, ok := s.readDrafts(w, r)
	if !ok {
		return
	}
	reply, err := s.Bench.PostFrom(r.Context(), r.PathValue("game"), drafts, from(r).poster(body.Saw))
	if err != nil {
		s.fail(w, r, sees(r).problem(err))
		return
	}
	posted := answer.Posted{Posted: reply.Posted, Notes: reply.Notes}
	if posted.Snapshot, err = s.snapshot(r, reply.Update, body.Has); err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, posted)
}
