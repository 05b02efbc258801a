package site

import (
	"encoding/json"
	"errors"
	"net/http"
	"strconv"

	"whistlestop/internal/api"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/locale"
)

// The kinds of problem that only a hub has.
const (
	gap    api.Kind = "gap"
	fork   api.Kind = "fork"
	fenced api.Kind = "fenced"
	other  api.Kind = "one_game"
)

// problemJSON is a problem as RFC 9457 writes it, with what a bench needs to go on.
type problemJSON struct {
	api.Problem
	Want  int `json:"want,omitempty"`  // of a gap: send from this entry on
	Seq   int `json:"seq,omitempty"`   // of a fork: the first place that is known to differ
	Kept  int `json:"kept,omitempty"`  // of a fork: the bench's lines are kept up to here
	Epoch int `json:"epoch,omitempty"` // of a fence: the epoch that counts

	Game   string `json:"game,omitempty"`   // of a link for one game: that game
	Called string `json:"called,omitempty"` // and its teams, or its id
	Line   int    `json:"line,omitempty"`   // which line cannot be taken, from 1
}

// words are the texts of the language that a request wants.
func (s *Site) words(r *http.Request) api.Words {
	return s.Languages(locale.Accepted(r.Header.Get("Accept-Language"))...)
}

// problem answers with a no.
func (s *Site) problem(w http.ResponseWriter, r *http.Request, no *api.No) {
	if no.Again > 0 {
		w.Header().Set("Retry-After", strconv.Itoa(no.Again))
	}
	s.send(w, r, problemJSON{Problem: problemOf(s.words(r), no)})
}

func problemOf(words api.Words, no *api.No) api.Problem {
	detail := words.Text(no.Say.Key, no.Say.Args)
	if no.Kind != gap && no.Kind != fork && no.Kind != fenced && no.Kind != other {
		return api.NewProblem(words, no.Status, no.Kind, detail)
	}
	// Their titles are in a catalogue of the hub's own.
	return api.Problem{
		Type: "urn:whistlestop:problem:" + string(no.Kind), Title: words.Text("hub.title."+string(no.Kind), nil), Status: no.Status, Detail: detail,
	}
}

func (s *Site) send(w http.ResponseWriter, r *http.Request, p problemJSON) {
	raw, err := json.Marshal(p)
	if err != nil {
		panic(err) // strings and numbers can always be written
	}
	w.Header().Set("Content-Type", "application/problem+json")
	w.Header().Set("Content-Language", s.words(r).Language())
	w.WriteHeader(p.Status)
	s.write(w, raw)
}

// fail answers with what was said against a request. What nobody said is the
// program's own fault, or the disk's: for the log.
func (s *Site) fail(w http.ResponseWriter, r *http.Request, err error) {
	words := s.words(r)
	with := func(status int, kind api.Kind, key string, pairs ...string) problemJSON {
		return problemJSON{Problem: problemOf(words, api.NewNo(status, kind, key, pairs...))}
	}
	var (
		gone   *ledgers.GapError
		forked *ledgers.ForkError
		fence  *ledgers.FencedError
		twice  *ledgers.TwiceError
		line   *ledgers.LineError
		no     *api.No
	)
	switch {
	case errors.As(err, &no):
		s.problem(w, r, no)
	case errors.As(err, &gone):
		p := with(api.StatusConflict, gap, "hub.gap", "number", strconv.Itoa(gone.Want))
		p.Want = gone.Want
		s.send(w, r, p)
	case errors.As(err, &forked):
		p := with(api.StatusConflict, fork, "hub.fork", "number", strconv.Itoa(forked.Seq))
		p.Seq, p.Kept = forked.Seq, forked.Kept
		s.send(w, r, p)
	case errors.As(err, &fence):
		p := with(api.StatusConflict, fenced, "hub.fenced")
		p.Epoch = fence.Epoch
		s.send(w, r, p)
	case errors.As(err, &twice):
		s.send(w, r, with(api.StatusRefused, api.Refused, "hub.twice", "entry", twice.ID))
	case errors.As(err, &line):
		p := with(api.StatusRefused, api.Refused, "hub.line.bad", "line", strconv.Itoa(line.Line), "why", api.Reason(words, line.Err))
		p.Line = line.Line
		s.send(w, r, p)
	default:
		s.Logger.Error("a request failed", "pattern", r.Pattern, "error", err)
		no := api.NotNow("hub.unavailable")
		no.Again = 5
		s.problem(w, r, no)
	}
}

// write writes an answer. Whoever asked may be gone by then.
func (s *Site) write(w http.ResponseWriter, raw []byte) {
	if _, err := w.Write(raw); err != nil {
		s.Logger.Debug("an answer was not taken", "error", err)
	}
}

func (s *Site) json(w http.ResponseWriter, r *http.Request, value any) {
	raw, err := json.Marshal(value)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	s.write(w, raw)
}

func (s *Site) noSuch(w http.ResponseWriter, r *http.Request) {
	s.problem(w, r, api.NotThere("web.no_api"))
}
