package laptop

import (
	"bytes"
	"io"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/internal/api"
	"whistlestop/internal/bench"
	"whistlestop/record/audit"
	"whistlestop/record/report"
)

// Wanted is how somebody wants a report.
type Wanted struct {
	Paper   string // a4, letter; of a PDF
	Times   rulebook.ReportTimes
	Names   bool // of players, on the page for parents
	Picture bool // of the whole game, in a PDF
	Words   api.Words
}

// Format is one form of a report's file.
type Format struct {
	Name  string // and the ending of its files
	Media string // type of the media, with its parameters
	Page  bool   // a browser shows it as a page of its own, so nothing in it may be carried out
}

// WriteReport writes the report of a ledger in a format of the list.
type WriteReport func(out io.Writer, ledger []entry.Entry, format string, w Wanted) error

// Shares says which reports anybody may read on their page for parents.
type Shares interface {
	Shared(game string) (bool, error)
	Share(game string, on bool) error
}

// report answers with the report as a document.
func (s *Service) report(c *api.Call) (report.Document, error) {
	w, err := wanted(c)
	if err != nil {
		return report.Document{}, err
	}
	ledger, err := s.Bench.Ledger(c, c.In())
	if err != nil {
		return report.Document{}, err
	}
	return report.Build(ledger, report.Options{Times: w.Times})
}

// audit answers with what does not add up in the report.
func (s *Service) audit(c *api.Call) (auditJSON, error) {
	w, err := wanted(c)
	if err != nil {
		return auditJSON{}, err
	}
	ledger, err := s.Bench.Ledger(c, c.In())
	if err != nil {
		return auditJSON{}, err
	}
	_, findings, err := audit.Ledger(ledger, report.Options{Times: w.Times})
	if findings == nil {
		findings = []audit.Finding{}
	}
	return auditJSON{Findings: findings}, err
}

// auditJSON is what does not add up in a report.
type auditJSON struct {
	Findings []audit.Finding `json:"findings"`
}

// wanted reads how somebody wants a report.
func wanted(c *api.Call) (w Wanted, err error) {
	w = Wanted{
		Times: rulebook.ReportTimes(c.Query("times")), Names: c.Query("names") == "yes", Picture: c.Query("picture") == "yes",
		Words: c.Words,
	}
	switch w.Times {
	case rulebook.TimesUnsaid, rulebook.TimesElapsed, rulebook.TimesRemaining:
	default:
		return w, api.Unread("web.no_times", "times", api.Clip(string(w.Times)))
	}
	w.Paper, err = paperOf(c)
	return w, err
}

// reportFile answers with the report in a format.
func (s *Service) reportFile(f Format) func(*api.Call) (api.File, error) {
	return func(c *api.Call) (api.File, error) {
		w, err := wanted(c)
		if err != nil {
			return api.File{}, err
		}
		return s.writeReport(c, f, w)
	}
}

func (s *Service) writeReport(c *api.Call, f Format, w Wanted) (api.File, error) {
	ledger, err := s.Bench.Ledger(c, c.In())
	if err != nil {
		return api.File{}, err
	}
	var out bytes.Buffer
	if err := s.Report(&out, ledger, f.Name, w); err != nil {
		return api.File{}, err
	}
	return api.File{Raw: out.Bytes(), Media: f.Media, Name: "report-" + c.In() + "." + f.Name, Page: f.Page}, nil
}

// Shared is the page for parents: for everybody where that was turned on for the
// game, and for the bench and its seats in any case. Names are on it only where
// the game's public view has them.
func (s *Service) Shared(c *api.Call) (api.File, error) {
	on, err := s.Shares.Shared(c.In())
	if err != nil {
		s.Logger.Error("read which reports are shared", "error", err)
		on = false
	}
	if !on && !c.Sees().May(bench.ReadReport) {
		return api.File{}, api.NotHere("web.not_shared")
	}
	update, err := s.Bench.State(c, c.In())
	if err != nil {
		return api.File{}, api.NotThere("web.no_page")
	}
	w, err := wanted(c)
	if err != nil {
		return api.File{}, err
	}
	w.Names, w.Picture = update.State.Bench.Names, true
	at := slices.IndexFunc(s.Formats, func(f Format) bool { return f.Page })
	return s.writeReport(c, s.Formats[at], w)
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

func (s *Service) sharing(c *api.Call) (sharingJSON, error) {
	on, err := s.Shares.Shared(c.In())
	if err != nil {
		return sharingJSON{}, s.notShared(err)
	}
	return sharingJSON{On: on, Path: sharedPath(c.In())}, nil
}

func (s *Service) share(c *api.Call, in shareJSON) (sharingJSON, error) {
	if _, err := s.Bench.State(c, c.In()); err != nil { // there is such a game
		return sharingJSON{}, err
	}
	if err := s.Shares.Share(c.In(), in.On); err != nil {
		return sharingJSON{}, s.notShared(err)
	}
	return sharingJSON{On: in.On, Path: sharedPath(c.In())}, nil
}

func (s *Service) notShared(err error) error {
	s.Logger.Error("keep which reports are shared", "error", err)
	return api.NotNow("web.sharing_not_kept")
}

func sharedPath(game string) string { return "/report/" + game + "/shared" }
