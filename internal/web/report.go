package web

import (
	"bytes"
	"io"
	"net/http"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
	"whistlestop/internal/paper"
	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// WriteReport writes the report of a ledger in a format of the list.
type WriteReport func(out io.Writer, ledger []entry.Entry, format string, o paper.Options) error

// Shares says which reports anybody may read on their page for parents.
type Shares interface {
	Shared(game string) (bool, error)
	Share(game string, on bool) error
}

// reported is the ledger that a report is asked of, and how it is asked for. It
// answers itself and returns false when there is none.
func (s *Server) reported(w http.ResponseWriter, r *http.Request) (ledger []entry.Entry, o paper.Options, ok bool) {
	if o, ok = s.reportOptions(w, r); !ok {
		return nil, o, false
	}
	ledger, err := s.Bench.Ledger(r.Context(), r.PathValue("game"))
	if err != nil {
		s.fail(w, r, err)
		return nil, o, false
	}
	return ledger, o, true
}

// report answers with the report as a document.
func (s *Server) report(w http.ResponseWriter, r *http.Request) {
	ledger, o, ok := s.reported(w, r)
	if !ok {
		return
	}
	d, err := report.Build(ledger, report.Options{Times: o.Times})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, d)
}

// audit answers with what does not add up in the report.
func (s *Server) audit(w http.ResponseWriter, r *http.Request) {
	ledger, o, ok := s.reported(w, r)
	if !ok {
		return
	}
	_, findings, err := audit.Ledger(ledger, report.Options{Times: o.Times})
	if err != nil {
		s.fail(w, r, err)
		return
	}
	if findings == nil {
		findings = []audit.Finding{}
	}
	s.json(w, r, http.StatusOK, auditJSON{Findings: findings})
}

// auditJSON is what does not add up in a report.
type auditJSON struct {
	Findings []audit.Finding `json:"findings"`
}

// reportOptions reads how somebody wants a report.
func (s *Server) reportOptions(w http.ResponseWriter, r *http.Request) (o paper.Options, ok bool) {
	q := r.URL.Query()
	o = paper.Options{
		Paper: q.Get("paper"), Times: rulebook.ReportTimes(q.Get("times")),
		Names: q.Get("names") == "yes", Picture: q.Get("picture") == "yes",
	}
	switch o.Times {
	case rulebook.TimesUnsaid, rulebook.TimesElapsed, rulebook.TimesRemaining:
	default:
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("web.no_times", "times", answer.Clip(string(o.Times))))
		return o, false
	}
	switch o.Paper {
	case "":
		o.Paper = "a4"
	case "a4", "letter":
	default:
		s.problem(w, r, http.StatusBadRequest, kindUnreadable, s.text("card.no_paper", "paper", answer.Clip(o.Paper)))
		return o, false
	}
	return o, true
}

// reportFile answers with the report in the format that the path ends in.
func (s *Server) reportFile(w http.ResponseWriter, r *http.Request) {
	o, ok := s.reportOptions(w, r)
	if !ok {
		return
	}
	s.writeReport(w, r, r.URL.Path[strings.LastIndexByte(r.URL.Path, '.')+1:], o)
}

func (s *Server) writeReport(w http.ResponseWriter, r *http.Request, name string, o paper.Options) {
	game := r.PathValue("game")
	ledger, err := s.Bench.Ledger(r.Context(), game)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var out bytes.Buffer
	if err := s.Report(&out, ledger, name, o); err != nil {
		s.fail(w, r, err)
		return
	}
	format, _ := paper.ByName(name)
	if format.Page {
		// The page brings its own styles, and nothing of it may be carried out.
		w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:; "+
			"base-uri 'none'; form-action 'none'; frame-ancestors 'none'")
	}
	s.download(w, r, format.Media, "report-"+game+"."+name, out.Bytes())
}

// shared answers with the page for parents: to everybody where that was turned
// on for the game, and to the bench and its seats in any case. Names are on it
// only where the game's public view has them.
func (s *Server) shared(w http.ResponseWriter, r *http.Request) {
	game := r.PathValue("game")
	on, err := s.Shares.Shared(game)
	if err != nil {
		s.Logger.Error("read which reports are shared", "error", err)
		on = false
	}
	if !on && !sees(r).may(bench.ReadReport) {
		s.plainPage(w, r, http.StatusForbidden, s.text("web.not_shared"))
		return
	}
	update, err := s.Bench.State(r.Context(), game)
	if err != nil {
		s.plainPage(w, r, http.StatusNotFound, s.text("web.no_page"))
		return
	}
	o, ok := s.reportOptions(w, r)
	if !ok {
		return
	}
	o.Names, o.Picture = update.State.Bench.Names, true
	s.writeReport(w, r, "html", o)
}

// sharingJSON says whether anybody may read the page for parents.
type sharingJSON struct {
	On   bool   `json:"on"`
	Path string `json:"path"` // of the page
}

// shareJSON turns the page for parents on or off.
type shareJSON struct {
	On bool `json:"on"`
}

func (s *Server) sharing(w http.ResponseWriter, r *http.Request) {
	game := r.PathValue("game")
	on, err := s.Shares.Shared(game)
	if err != nil {
		s.notShared(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, sharingJSON{On: on, Path: sharedPath(game)})
}

func (s *Server) share(w http.ResponseWriter, r *http.Request) {
	var body shareJSON
	if !s.read(w, r, &body) {
		return
	}
	game := r.PathValue("game")
	if _, err := s.Bench.State(r.Context(), game); err != nil { // there is such a game
		s.fail(w, r, err)
		return
	}
	if err := s.Shares.Share(game, body.On); err != nil {
		s.notShared(w, r, err)
		return
	}
	s.json(w, r, http.StatusOK, sharingJSON{On: body.On, Path: sharedPath(game)})
}

func (s *Server) notShared(w http.ResponseWriter, r *http.Request, err error) {
	s.Logger.Error("keep which reports are shared", "error", err)
	s.problem(w, r, http.StatusServiceUnavailable, kindUnavailable, s.text("web.sharing_not_kept"))
}

func sharedPath(game string) string { return "/report/" + game + "/shared" }
