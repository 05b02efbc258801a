package site

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/reports"
	"whistlestop/record/seal"
)

// reportRoutes are those of the official record, for a league.
func (s *Site) reportRoutes() []route {
	return []route{
		s.need("GET /reports", people.ReadReport, people.Own, s.reportsPage),
		s.need("GET /reports/{game}", people.ReadReport, people.Own, s.reportPage),
		s.need("GET /reports/{game}/{file}", people.ReadReport, people.Own, s.reportFile),
		s.fresh("POST /reports/archive", people.ReadReport, people.Own, s.reportArchive),
		s.need("POST /reports/reopen", people.ReopenReport, people.All, s.reopen),
	}
}

// reports are those of the association.
func (s *Site) reports() reports.Reports {
	return reports.Reports{Live: s.Live, Store: s.Store, Association: s.Association, Zone: time.Local}
}

// reportsShown is how many reports stand on a page (ours).
const reportsShown = 50

// asked is what somebody wants to see of the reports.
type asked struct {
	reports.Filter
	Check bool // every chain and seal of the page is followed
	Page  int  // from 1
}

// days are the bounds of a filter; what is no day is left out.
func readAsked(form url.Values) asked {
	day := func(name string) string {
		text := form.Get(name)
		if _, err := time.Parse(time.DateOnly, text); err != nil {
			return ""
		}
		return text
	}
	a := asked{Filter: reports.Filter{Team: form.Get("team"), From: day("from"), To: day("to"), Incidents: form.Get("incidents") == "yes"}}
	if state := reports.State(form.Get("state")); slices.Contains(reports.States, state) {
		a.State = state
	}
	a.Check = form.Get("check") == "yes"
	page, err := strconv.Atoi(form.Get("page"))
	if a.Page = page; err != nil || page < 1 {
		a.Page = 1
	}
	return a
}

// query is the address of a page with the same filter.
func (a asked) query(page int, check bool) string {
	q := url.Values{}
	set := func(name, value string) {
		if value != "" {
			q.Set(name, value)
		}
	}
	set("state", string(a.State))
	set("team", a.Team)
	set("from", a.From)
	set("to", a.To)
	if a.Incidents {
		q.Set("incidents", "yes")
	}
	if check {
		q.Set("check", "yes")
	}
	if page > 1 {
		q.Set("page", strconv.Itoa(page))
	}
	return "/reports?" + q.Encode()
}

// reportRow is a report as the list shows it.
type reportRow struct {
	reports.Report
	Stands reports.Standing // empty: nobody asked
}

// mine are the reports that somebody may read, of those that a filter means.
func (s *Site) mine(r *http.Request, c people.Caller, f reports.Filter) ([]reports.Report, error) {
	list, err := s.reports().List(r.Context(), f)
	return slices.DeleteFunc(list, func(one reports.Report) bool { return !mayRead(c, one) }), err
}

func mayRead(c people.Caller, one reports.Report) bool {
	return c.May(people.ReadReport, playedBy(one.Title))
}

// reportsPage lists the reports.
func (s *Site) reportsPage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	a := readAsked(r.URL.Query())
	all, err := s.mine(r, c, reports.Filter{})
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	list, err := s.mine(r, c, a.Filter)
	if err == nil && a.Check && !s.letReport(w, r, c) {
		return
	}
	pages := max(1, (len(list)+reportsShown-1)/reportsShown)
	a.Page = min(a.Page, pages)
	shown := list[(a.Page-1)*reportsShown : min(a.Page*reportsShown, len(list))]
	rows := make([]reportRow, len(shown))
	for i, one := range shown {
		rows[i] = reportRow{Report: one}
		if err == nil && a.Check {
			var whole reports.One
			whole, err = s.reports().Whole(r.Context(), one)
			rows[i].Stands = whole.Stands()
		}
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	counts := map[reports.State]int{}
	for _, one := range all {
		counts[one.State]++
	}
	data := map[string]any{
		"Name": s.name(r), "Caller": c, "Rows": rows, "Asked": a, "Count": len(list), "All": len(all), "States": reports.States, "Counts": counts,
		"Teams": teamsIn(all), "Check": a.query(a.Page, true), "Most": reports.ArchiveMost,
	}
	if a.Page > 1 {
		data["Newer"] = a.query(a.Page-1, a.Check)
	}
	if a.Page < pages {
		data["Older"] = a.query(a.Page+1, a.Check)
	}
	s.page(w, r, http.StatusOK, "reports", data)
}

// teamsIn are the teams of some reports, by name.
func teamsIn(list []reports.Report) (names []string) {
	for _, one := range list {
		if one.Shown {
			names = append(names, one.Home, one.Visitors)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// letReport counts what takes the processor: reports on paper, and chains that are
// followed.
func (s *Site) letReport(w http.ResponseWriter, r *http.Request, c people.Caller) bool {
	if s.limits.let("report "+c.Session, reportRate, reportBurst) {
		return true
	}
	s.message(w, r, http.StatusTooManyRequests, "hub.too_often")
	return false
}

// oneReport is the report that a path names, as far as the caller may read it.
func (s *Site) oneReport(w http.ResponseWriter, r *http.Request, c people.Caller) (one reports.One, found bool) {
	if !s.letReport(w, r, c) {
		return one, false
	}
	one, err := s.reports().Read(r.Context(), r.PathValue("game"))
	switch {
	case errors.Is(err, reports.ErrNone), err == nil && !mayRead(c, one.Report):
		s.message(w, r, http.StatusNotFound, "hub.no_game")
	case err != nil:
		s.failPage(w, r, err)
	default:
		return one, true
	}
	return one, false
}

// reportPage shows how the report of a game stands, whether it holds, and its files.
func (s *Site) reportPage(w http.ResponseWriter, r *http.Request, c people.Caller) {
	one, found := s.oneReport(w, r, c)
	if !found {
		return
	}
	words := s.words(r)
	say := func(key string, pairs ...string) string { return words.Text(key, message.Pairs(pairs...)) }
	data := map[string]any{
		"Name": s.name(r), "Caller": c, "One": one, "Incidents": one.Incidents(), "Stands": one.Stands(), "Formats": reports.Formats,
		"Reopen": c.May(people.ReopenReport, people.On{}) && (one.State == reports.Sealed || one.State == reports.Amended),
		"Paper":  r.URL.Query().Get("fingerprint"),
	}
	if typed := r.URL.Query().Get("fingerprint"); typed != "" {
		data["Said"], data["Fits"] = printed(&one.Verdict, typed, say)
	}
	data["Verdict"] = verdictOf(one, say)
	s.page(w, r, http.StatusOK, "report", data)
}

// printed compares a ledger with a fingerprint as it stands on paper.
func printed(v *seal.Verdict, typed string, say func(string, ...string) string) (said string, fits bool) {
	fingerprint, err := seal.ReadFingerprint(typed)
	if err != nil {
		return say("hub.reports.no_fingerprint"), false
	}
	held := v.First
	found, replaced := v.Printed(fingerprint)
	v.First = held // what is said of the ledger is another matter
	switch {
	case found.Entry == "":
		return say("hub.reports.other_paper"), false
	case replaced:
		return say("command.verify.replaced", "version", strconv.Itoa(found.Version)), true
	}
	return say("command.verify.printed", "version", strconv.Itoa(found.Version)), true
}

// verdictOf is what verifying a ledger said, in sentences.
func verdictOf(one reports.One, say func(string, ...string) string) (lines []string) {
	v := one.Verdict
	switch stands := one.Stands(); {
	case stands == reports.Older:
		lines = append(lines, say("hub.reports.older_lines", "numbers", seal.Numbers(v.Unvouched)))
	case stands == reports.Touched && (v.First == nil || v.Around()):
		lines = append(lines, say("hub.reports.copy_touched"))
	case stands == reports.Touched:
		pairs := make([]string, 0, 2*len(v.First.Say.Args))
		for _, arg := range v.First.Say.Args {
			pairs = append(pairs, arg.Name, arg.Text)
		}
		lines = append(lines, say(v.First.Say.Key, pairs...))
	default:
		lines = append(lines, say("command.verify.whole", "entries", strconv.Itoa(v.Entries)))
	}
	if len(one.Without) > 0 {
		lines = append(lines, say("hub.reports.without", "count", strconv.Itoa(len(one.Without)), "numbers", seal.Numbers(one.Without)))
	}
	for _, found := range v.Seals {
		key, pairs := found.Said()
		lines = append(lines, say(key, pairs...), say("hub.reports.key", "key", found.KeyName))
	}
	switch {
	case len(v.Seals) == 0:
		lines = append(lines, say("command.verify.unsealed"))
	case v.After > 0:
		lines = append(lines, say("command.verify.after", "entries", strconv.Itoa(v.After)))
	}
	return lines
}

// ledgerFile is the name of the file of a game's ledger.
const ledgerFile = "ledger." + "jsonl"

// reportFile hands out the report of a game in a format, or its ledger.
func (s *Site) reportFile(w http.ResponseWriter, r *http.Request, c people.Caller) {
	name := r.PathValue("file")
	format, is := strings.CutPrefix(name, "report.")
	if name != ledgerFile && (!is || !slices.Contains(reports.Formats, format) || s.Report == nil) {
		s.message(w, r, http.StatusNotFound, "web.no_page")
		return
	}
	one, found := s.oneReport(w, r, c)
	if !found {
		return
	}
	var out bytes.Buffer
	media := "application/jsonl"
	if name == ledgerFile {
		out.Write(one.Ledger)
	} else {
		var err error
		if media, err = s.Report(&out, one.Entries, format, s.words(r)); err != nil {
			s.failPage(w, r, err)
			return
		}
	}
	s.attach(w, r, one.Day+"-"+one.Game.ID+"-"+name, media, func(to io.Writer) error {
		_, err := out.WriteTo(to)
		return err
	})
}

// reportArchive hands out all reports that a filter means, in one file.
func (s *Site) reportArchive(w http.ResponseWriter, r *http.Request, c people.Caller) {
	if !s.letReport(w, r, c) {
		return
	}
	if err := r.ParseForm(); err != nil {
		s.failPage(w, r, api.Unread("hub.unreadable"))
		return
	}
	a := readAsked(r.PostForm)
	list, err := s.mine(r, c, a.Filter)
	switch {
	case err != nil:
	case len(list) == 0:
		err = api.Refuse("hub.reports.none")
	case len(list) > reports.ArchiveMost:
		err = api.Refuse("hub.reports.too_many", "count", strconv.Itoa(len(list)), "most", strconv.Itoa(reports.ArchiveMost))
	default:
		err = s.People.Did(r.Context(), c, "reports_taken")
	}
	if err != nil {
		s.failPage(w, r, err)
		return
	}
	words := s.words(r)
	s.attach(w, r, "reports.zip", "application/zip", func(out io.Writer) error {
		return s.reports().Archive(r.Context(), out, list, func(out io.Writer, one reports.One, format string) error {
			_, err := s.Report(out, one.Entries, format, words)
			return err
		})
	})
}

// reopen says that the association wants another version of a report.
func (s *Site) reopen(w http.ResponseWriter, r *http.Request, c people.Caller) {
	game := r.FormValue("game")
	err := s.reports().Reopen(r.Context(), game, s.note(c, "reopened", game))
	switch {
	case errors.Is(err, reports.ErrNone):
		err = api.NotThere("hub.no_game")
	case errors.Is(err, reports.ErrUnsealed):
		err = api.Refuse("hub.reports.open")
	}
	s.doneAt(w, r, "/reports/"+url.PathEscape(game), err)
}
