package crews_test

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"whistlestop/crew/duties"
	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/api/season"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo/harbour"
	"whistlestop/internal/hub/crews"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/locale"
	"whistlestop/record/tables"
)

// papers are in memory, with how often they were written.
type papers struct {
	texts  map[string][]byte
	writes int
}

func (p *papers) All(context.Context) (map[string][]byte, error) {
	all := map[string][]byte{}
	for name, text := range p.texts {
		all[name] = text
	}
	return all, nil
}

func (p *papers) Keep(_ context.Context, _ entry.Millis, _ string, texts map[string][]byte) error {
	p.writes++
	for name, text := range texts {
		p.texts[name] = text
	}
	return nil
}

func (p *papers) Forget(ctx context.Context, at entry.Millis, why string, texts map[string][]byte) error {
	return p.Keep(ctx, at, why, texts)
}

// files are the season; of what else belongs to one there is nothing.
type files struct{ league, schedule []byte }

func (f *files) League() ([]byte, error)          { return f.league, nil }
func (f *files) Schedule() ([]byte, error)        { return f.schedule, nil }
func (f *files) KeepLeague(text []byte) error     { f.league = text; return nil }
func (f *files) KeepSchedule(text []byte) error   { f.schedule = text; return nil }
func (f *files) KeepScheduleBefore([]byte) error  { return nil }
func (f *files) KeepDecisionsBefore([]byte) error { return nil }

func (f *files) Decisions() ([]byte, error)      { return nil, nil }
func (f *files) KeepDecisions(text []byte) error { return nil }
func (f *files) HandedIn() ([]byte, error)       { return nil, nil }
func (f *files) KeepHandedIn(text []byte) error  { return nil }

// hub is two associations with a desk each; only the first has anybody in it.
type hub struct {
	t      *testing.T
	desks  *crews.Desks
	server *httptest.Server
	papers map[string]*papers
	table  []api.Operation
	now    time.Time
	links  map[string]int // how often each was used
	most   int            // that a link may be used
	wrong  int            // guesses that are left
	log    []string       // who did what with people's data
	full   bool           // nothing can be written into it
}

const own, other = "harbour", "mole"

func newHub(t *testing.T) *hub {
	t.Helper()
	h := &hub{t: t, papers: map[string]*papers{}, now: time.Date(2026, 11, 2, 12, 0, 0, 0, time.UTC), links: map[string]int{}, most: 1000, wrong: 1000}
	today, err := dates.Parse(h.now.Format(time.DateOnly))
	if err != nil {
		t.Fatal(err)
	}
	made, err := harbour.Desk(today, bytes.Repeat([]byte{7}, duties.KeyBytes))
	if err != nil {
		t.Fatal(err)
	}
	h.papers[own] = &papers{texts: crew.Papered(made.People, made.Rules, made.Rota, made.Log)}
	h.papers[other] = &papers{texts: map[string][]byte{}}
	h.desks = crews.New(crews.Config{
		Open: func(_ context.Context, id string) (*crews.Desk, error) {
			kept, is := h.papers[id]
			if !is {
				return nil, crews.ErrNone
			}
			shelf := &files{}
			if id == own {
				shelf.league, shelf.schedule = made.League, made.Schedule
			}
			desk := &crew.Service{
				Papers: kept, Season: shelf, Logger: slog.New(slog.DiscardHandler), Everywhere: true,
				Reach: func() (string, bool) { return "https://hub.example/crew/" + id, true },
				Key: func(bytes int) []byte {
					raw := make([]byte, bytes)
					_, _ = rand.Read(raw)
					return raw
				},
				Did: func(c *api.Call, what, object string) error {
					if h.full {
						return errors.New("no space left")
					}
					h.log = append(h.log, strings.Join([]string{c.Person, c.Network, what, object}, " "))
					return nil
				},
				Print: func(io.Writer, crew.Sheet, api.Words) error { return nil },
				PDF:   func(io.Writer, tables.Document, api.Words) error { return nil },
			}
			plan := &season.Service{Kept: shelf, Live: none{}, Logger: slog.New(slog.DiscardHandler)}
			h.table = append(desk.Operations(), plan.Operations()...)
			return &crews.Desk{Operations: h.table, Close: func() error { return nil }}, nil
		},
		Runs: func(r *http.Request, act crews.Act) (office.By, error) {
			if r.Header.Get("Signed-In") != act.Association {
				return office.By{}, api.NotHere("hub.crew.sign_in")
			}
			return office.By{Who: "robin", From: "192.0.2.0/24"}, nil
		},
		Let: func(_ *http.Request, what crews.Counted, _, token string) bool {
			if what == crews.Guess {
				h.wrong--
				return h.wrong >= 0
			}
			h.links[token]++
			return h.links[token] <= h.most
		},
		Page:   func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "the page") },
		Refuse: func(w http.ResponseWriter, _ *http.Request, _ error) { w.WriteHeader(http.StatusNotFound) },
		Now:    func() entry.Millis { return entry.Millis(h.now.UnixMilli()) }, Address: "https://hub.example",
		Logger: slog.New(slog.DiscardHandler), Languages: func(...string) api.Words { return locale.English() },
	})
	h.server = httptest.NewServer(h.desks)
	t.Cleanup(func() {
		h.server.Close()
		if err := h.desks.Close(); err != nil {
			t.Error(err)
		}
	})
	return h
}

// none is a season without a game that was played.
type none struct{}

func (none) Games(context.Context) ([]bench.Title, error)                 { return nil, nil }
func (none) Ledger(context.Context, string) ([]entry.Entry, error)        { return nil, nil }
func (none) Open(context.Context, bench.Opening) (r bench.Reply, _ error) { return r, nil }
func (none) Post(context.Context, string, []entry.Entry) (r bench.Reply, _ error) {
	return r, nil
}

// do asks as whoever is signed in at an association; empty: nobody.
func (h *hub) do(signed, method, path string, body any) (int, string) {
	h.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		h.t.Fatal(err)
	}
	r, err := http.NewRequestWithContext(h.t.Context(), method, h.server.URL+path, bytes.NewReader(raw))
	if err != nil {
		h.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("Signed-In", signed)
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		h.t.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	if failed := answer.Body.Close(); err != nil || failed != nil {
		h.t.Fatal(err, failed)
	}
	return answer.StatusCode, string(text)
}

func (h *hub) must(method, path string, body, into any) {
	h.t.Helper()
	status, text := h.do(own, method, "/crew/"+own+path, body)
	if status != http.StatusOK && status != http.StatusCreated {
		h.t.Fatalf("%s %s: %d %s", method, path, status, text)
	}
	if err := json.Unmarshal([]byte(text), into); err != nil {
		h.t.Fatal(err)
	}
}

// duty is one of the rota; page is what a link shows.
type duty struct{ Game, Seat, Day, Person, Name, Status string }

type page struct {
	First  string
	Whole  bool
	Duties []duty
	Said   string
}

// linked is somebody with a duty that they have not answered, and the token of their link.
func (h *hub) linked() (first duty, token string) {
	h.t.Helper()
	var rota struct{ Duties []duty }
	h.must("GET", "/api/crew/rota?from=2026-11-03&to=2026-12-20", nil, &rota)
	for _, one := range rota.Duties {
		if one.Name != "" && one.Status != "no" {
			first = one
			break
		}
	}
	if first.Name == "" {
		h.t.Fatal("nobody has a duty")
	}
	var made struct{ Link string }
	h.must("POST", "/api/crew/links", map[string]string{"person": first.Person}, &made)
	token, is := strings.CutPrefix(made.Link, "https://hub.example/crew/"+own+"/mine#")
	if !is {
		h.t.Fatal(made.Link)
	}
	return first, token
}

func mineOf(token string) string { return "/crew/" + own + "/api/crew/mine/" + token }

func filled(path string) string {
	for _, part := range []string{"person", "game", "seat", "scheduled", "team", "file"} {
		path = strings.ReplaceAll(path, "{"+part+"}", "x")
	}
	return path
}

// Every row of the desk and the season is refused to nobody in particular and to whoever is
// signed in elsewhere, before anything is read; also those that a bench answers anybody.
func TestEveryRowIsForItsOwnAssociation(t *testing.T) {
	h := newHub(t)
	if status, text := h.do(own, "GET", "/crew/"+own+"/api/crew", nil); status != http.StatusOK || !strings.Contains(text, `"hub":true`) {
		t.Fatal(status, text)
	}
	writes, rows := h.papers[own].writes, 0
	for _, o := range h.table {
		if strings.Contains(o.Path, "{token}") {
			continue
		}
		rows++
		for _, signed := range []string{"", other} {
			if status, text := h.do(signed, o.Method, "/crew/"+own+filled(o.Path), map[string]string{}); status != http.StatusForbidden || !strings.Contains(text, "not_here") {
				t.Errorf("%s %s signed in at %q: %d %s", o.Method, o.Path, signed, status, text)
			}
		}
	}
	if rows < 40 || h.papers[own].writes != writes {
		t.Errorf("%d rows, %d writes", rows, h.papers[own].writes-writes)
	}
	for _, path := range []string{"/desk", "/season"} {
		for signed, want := range map[string]int{"": 404, other: 404, own: 200} {
			if status, _ := h.do(signed, "GET", "/crew/"+own+path, nil); status != want {
				t.Errorf("%s signed in at %q: %d", path, signed, status)
			}
		}
	}
	for _, path := range []string{"/mine", "/team"} {
		if status, text := h.do("", "GET", "/crew/"+own+path, nil); status != http.StatusOK || text != "the page" {
			t.Errorf("%s: %d %s", path, status, text)
		}
	}
	for _, path := range []string{"/crew/nowhere/desk", "/crew/", "/crew/../hub.db", "/crew/Harbour/desk", "/crew/" + own + "/nothing", "/crew/" + own + "/api/nothing"} {
		if status, _ := h.do(own, "GET", path, nil); status != http.StatusNotFound {
			t.Errorf("%s: %d", path, status)
		}
	}
}

// A link of one association opens nothing at another's desk, whoever is signed in.
func TestALinkIsForItsAssociation(t *testing.T) {
	h := newHub(t)
	_, token := h.linked()
	for _, signed := range []string{"", own, other} {
		if status, _ := h.do(signed, "GET", "/crew/"+other+"/api/crew/mine/"+token, nil); status != http.StatusNotFound {
			t.Errorf("signed in at %q: %d", signed, status)
		}
	}
}

// What a mail program or its scanner does with a link (GET and HEAD, often) changes
// nothing; a POST acts, and the same one again changes nothing more (RFC 9110, safe methods).
func TestALinkShowsByGETAndActsByPOST(t *testing.T) {
	h := newHub(t)
	first, token := h.linked()
	writes := h.papers[own].writes
	for range 3 {
		for _, method := range []string{"GET", "HEAD"} {
			for _, path := range []string{"", "/calendar.ics"} {
				if status, text := h.do("", method, mineOf(token)+path, nil); status != http.StatusOK {
					t.Fatal(status, text)
				}
			}
		}
	}
	if h.papers[own].writes != writes {
		t.Error("looking writes")
	}
	say := func(do string, one duty) (int, page, string) {
		status, text := h.do("", "POST", mineOf(token), map[string]string{"do": do, "game": one.Game, "seat": one.Seat})
		var p page
		if status == http.StatusOK {
			if err := json.Unmarshal([]byte(text), &p); err != nil {
				t.Fatal(err)
			}
		}
		return status, p, text
	}
	status, p, text := say("yes", first)
	if status != http.StatusOK || p.First != strings.Fields(first.Name)[0] || !p.Whole || p.Said == "" {
		t.Fatal(status, text)
	}
	writes = h.papers[own].writes
	if status, _, text = say("yes", first); status != http.StatusOK || h.papers[own].writes != writes {
		t.Errorf("the same again: %d %s, %d writes", status, text, h.papers[own].writes-writes)
	}
	// Another person's duty is not theirs to answer, and a forwarded link says whose it is.
	var rota struct{ Duties []duty }
	h.must("GET", "/api/crew/rota?from=2026-11-03&to=2026-12-20", nil, &rota)
	for _, one := range rota.Duties {
		if one.Name != "" && one.Person != first.Person {
			if status, _, text := say("no", one); status != http.StatusConflict {
				t.Errorf("somebody answers for %s: %d %s", one.Name, status, text)
			}
			break
		}
	}
	// "Not me" ends it.
	if status, _, text := say("not_me", duty{}); status != http.StatusOK {
		t.Error(status, text)
	}
	if status, _ := h.do("", "GET", mineOf(token), nil); status != http.StatusNotFound {
		t.Errorf("the link of somebody who is not meant still opens: %d", status)
	}
}

// A message's link ends with the last of its duties.
func TestALinkExpires(t *testing.T) {
	h := newHub(t)
	_, token := h.linked()
	h.now = h.now.AddDate(1, 0, 0)
	for _, method := range []string{"GET", "POST"} {
		if status, text := h.do("", method, mineOf(token), map[string]string{"do": "forget"}); status != http.StatusGone {
			t.Errorf("%s: %d %s", method, status, text)
		}
	}
}

// Guesses open nothing, and are counted; a link that is used too often waits, and others
// do not wait with it.
func TestGuessesAndFloods(t *testing.T) {
	h := newHub(t)
	_, token := h.linked()
	h.wrong, h.most = 3, 5
	statuses := map[int]int{}
	for _, guess := range []string{"x", strings.ToLower(token), token + "A", token[:len(token)-1], strings.Repeat("A", len(token))} {
		status, _ := h.do("", "GET", mineOf(guess), nil)
		statuses[status]++
	}
	if statuses[http.StatusNotFound] != 3 || statuses[http.StatusTooManyRequests] != 2 {
		t.Errorf("%v", statuses)
	}
	statuses = map[int]int{}
	for range 7 {
		status, _ := h.do("", "GET", mineOf(token), nil)
		statuses[status]++
	}
	if statuses[http.StatusOK] != 5 || statuses[http.StatusTooManyRequests] != 2 {
		t.Errorf("%v", statuses)
	}
}

// The calendar of a link follows by its own address, and names nobody else.
func TestTheCalendarOfALink(t *testing.T) {
	h := newHub(t)
	first, token := h.linked()
	status, text := h.do("", "GET", mineOf(token)+"/calendar.ics", nil)
	if status != http.StatusOK || !strings.Contains(text, "BEGIN:VEVENT") {
		t.Fatal(status, text)
	}
	var rota struct{ Duties []duty }
	h.must("GET", "/api/crew/rota?from=2026-11-03&to=2026-12-20", nil, &rota)
	for _, one := range rota.Duties {
		if one.Name != "" && one.Name != first.Name && strings.Contains(text, one.Name) {
			t.Errorf("the calendar names %s", one.Name)
		}
	}
}

// What hands people's data out, or takes people out, has a line in the log before it happens,
// without content; where that cannot be written nothing is handed out and nobody is deleted.
func TestPeoplesDataHasALineInTheLog(t *testing.T) {
	h := newHub(t)
	first, token := h.linked()
	desk, person := "/crew/"+own+"/api/crew", "/people/"+first.Person
	acts := []struct{ method, path, want string }{
		{"GET", "/whole.json", "crew_exported crew-desk.json"}, {"GET", "/files/people.csv", "crew_exported people.csv"},
		{"GET", person + "/copy", "crew_person_exported " + first.Person}, {"DELETE", person, "crew_person_deleted " + first.Person},
	}
	h.full = true
	for _, act := range acts {
		if status, text := h.do(own, act.method, desk+act.path, nil); status != http.StatusServiceUnavailable || strings.Contains(text, first.Name) {
			t.Errorf("%s without a line: %d %s", act.path, status, text)
		}
	}
	h.full = false
	if status, _ := h.do("", "GET", mineOf(token), nil); status != http.StatusOK || len(h.log) != 0 {
		t.Errorf("%d, %q", status, h.log)
	}
	for i, act := range acts {
		if status, text := h.do(own, act.method, desk+act.path, nil); status != http.StatusOK {
			t.Errorf("%s: %d %s", act.path, status, text)
		}
		if len(h.log) != i+1 || h.log[i] != "robin 192.0.2.0/24 "+act.want {
			t.Errorf("%s: %q", act.path, h.log)
		}
	}
	if status, _ := h.do("", "GET", mineOf(token), nil); status != http.StatusNotFound {
		t.Errorf("whoever was deleted still has a page: %d", status)
	}
}

// A desk of another computer is taken in whole, once: tokens and codes stay good.
func TestADeskMovesToTheHub(t *testing.T) {
	h := newHub(t)
	first, token := h.linked()
	status, whole := h.do(own, "GET", "/crew/"+own+"/api/crew/whole.json", nil)
	if status != http.StatusOK || strings.Contains(whole, token) {
		t.Fatal(status)
	}
	take := func(signed, association, text string) (int, string) {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodPut, h.server.URL+"/crew/"+association+"/api/crew/whole.json", strings.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Signed-In", signed)
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		said, err := io.ReadAll(answer.Body)
		if failed := answer.Body.Close(); err != nil || failed != nil {
			t.Fatal(err, failed)
		}
		return answer.StatusCode, string(said)
	}
	for _, bad := range []string{"", "{}", whole[:len(whole)/2], strings.Replace(whole, `"version":1`, `"version":2`, 1)} {
		if status, said := take(other, other, bad); status != http.StatusBadRequest || len(h.papers[other].texts) != 0 {
			t.Errorf("%.40s: %d %s", bad, status, said)
		}
	}
	if status, said := take(own, other, whole); status != http.StatusForbidden {
		t.Error(status, said)
	}
	status, said := take(other, other, whole)
	if status != http.StatusOK || !strings.Contains(said, `"moved":"2026-11-02"`) {
		t.Fatal(status, said)
	}
	status, text := h.do("", "GET", "/crew/"+other+"/api/crew/mine/"+token, nil)
	if status != http.StatusOK || !strings.Contains(text, strings.Fields(first.Name)[0]) {
		t.Error(status, text)
	}
	for name, text := range h.papers[own].texts {
		if name != "more" && !bytes.Equal(text, h.papers[other].texts[name]) {
			t.Errorf("%s is another one", name)
		}
	}
	if status, said := take(other, other, whole); status != http.StatusConflict {
		t.Errorf("a second time: %d %s", status, said)
	}
}
