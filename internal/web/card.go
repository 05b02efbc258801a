package web

import (
	"bytes"
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"whistlestop/game/card"
	"whistlestop/game/rules"
	"whistlestop/internal/answer"
)

// Cards keeps rink cards. All lists them, those of the folder first, each id
// once. Keep keeps a card that was checked under its id, in place of an older
// one.
type Cards interface {
	All() ([]card.File, error)
	Keep(id string, text []byte) error
}

// PrintCard writes a card as PDF on a paper, which is "a4" or "letter".
type PrintCard func(out io.Writer, c card.Card, paper string) error

// cardFileJSON is a rink card in the list. The card is what an entry of the kind
// card_set takes.
type cardFileJSON struct {
	ID   string    `json:"id"`
	Rink string    `json:"rink"`
	Demo bool      `json:"demo"`
	Card card.Card `json:"card"`
}

// badCardJSON is a file that cannot be used.
type badCardJSON struct {
	File string `json:"file"`
	Why  string `json:"why"`
}

func (s *Server) cards(w http.ResponseWriter, r *http.Request) {
	files, ok := s.cardFiles(w, r)
	if !ok {
		return
	}
	list, damaged := []cardFileJSON{}, []badCardJSON{}
	for _, f := range files {
		if f.Bad != nil {
			damaged = append(damaged, badCardJSON{File: f.Name, Why: f.Bad.Error()})
			continue
		}
		list = append(list, cardFileJSON{ID: f.Card.ID, Rink: f.Card.Rink, Demo: f.Demo, Card: f.Card})
	}
	s.json(w, r, http.StatusOK, cardsJSON{Cards: list, Damaged: damaged})
}

func (s *Server) cardFiles(w http.ResponseWriter, r *http.Request) ([]card.File, bool) {
	files, err := s.Cards.All()
	if err != nil {
		s.Logger.Error("read the rink cards", "error", err)
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("card.not_read"))
		return nil, false
	}
	return files, true
}

// keepCard takes a card file, checks it and keeps it.
func (s *Server) keepCard(w http.ResponseWriter, r *http.Request) {
	mediaType, _, err := mime.ParseMediaType(r.Header.Get("Content-Type"))
	if err != nil || mediaType != "text/plain" {
		s.problem(w, r, http.StatusUnsupportedMediaType, kindUnreadable, s.text("card.not_text"))
		return
	}
	text, err := io.ReadAll(http.MaxBytesReader(w, r.Body, bodyMost))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		s.problem(w, r, http.StatusRequestEntityTooLarge, kindTooLarge,
			s.text("web.too_large", "most", strconv.Itoa(bodyMost>>10)))
		return
	case err != nil:
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.unreadable", "why", answer.Plain(err)))
		return
	}
	c, err := card.Parse(text, "card")
	if err != nil {
		why := rules.Say{Key: "card.unusable", Args: rules.Pairs("why", err.Error())}
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.Words.Text(why.Key, why.Args),
			rules.Refusal{Field: "card", Say: why})
		return
	}
	if err := s.Cards.Keep(c.ID, text); err != nil {
		s.Logger.Error("keep a rink card", "card", c.ID, "error", err)
		s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("card.not_kept"))
		return
	}
	w.Header().Set("Location", "/api/cards/"+c.ID+".toml")
	s.json(w, r, http.StatusCreated, cardFileJSON{ID: c.ID, Rink: c.Rink, Card: c})
}

// cardFile answers with a card as its file or as a printed page.
func (s *Server) cardFile(w http.ResponseWriter, r *http.Request) {
	id, ending, _ := strings.Cut(r.PathValue("file"), ".")
	files, ok := s.cardFiles(w, r)
	if !ok {
		return
	}
	for _, f := range files {
		if f.Bad != nil || f.Card.ID != id {
			continue
		}
		switch ending {
		case "toml":
			s.download(w, r, "text/plain; charset=utf-8", id+".toml", f.Text)
			return
		case "pdf":
			s.printCard(w, r, f.Card)
			return
		}
	}
	s.problem(w, r, http.StatusNotFound, kindMissing, s.text("card.missing", "card", answer.Clip(id)))
}

func (s *Server) printCard(w http.ResponseWriter, r *http.Request, c card.Card) {
	paper := r.URL.Query().Get("paper")
	if paper == "" {
		paper = "a4"
	}
	if paper != "a4" && paper != "letter" {
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("card.no_paper", "paper", answer.Clip(paper)))
		return
	}
	var page bytes.Buffer
	if err := s.Print(&page, c, paper); err != nil {
		s.problem(w, r, http.StatusUnprocessableEntity, kindRefused, s.text("card.not_printed", "why", err.Error()))
		return
	}
	s.download(w, r, "application/pdf", c.ID+"-"+paper+".pdf", page.Bytes())
}

// download answers with a file.
func (s *Server) download(w http.ResponseWriter, r *http.Request, mediaType, name string, raw []byte) {
	h := w.Header()
	h.Set("Content-Type", mediaType)
	h.Set("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": name}))
	h.Set("Cache-Control", "no-store")
	s.write(w, r, raw)
}
