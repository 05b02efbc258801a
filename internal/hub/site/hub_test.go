package site_test

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"testing/fstest"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/demo"
	"whistlestop/internal/hub/bus"
	"whistlestop/internal/hub/counted"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/live"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/internal/hub/rooms"
	"whistlestop/internal/hub/site"
	"whistlestop/internal/hub/sqlite"
	"whistlestop/internal/lan"
	"whistlestop/internal/locale"
	"whistlestop/internal/paper"
)

// hub is a hub that is being tried out, over a real database.
type hub struct {
	t       testing.TB
	store   *sqlite.Store
	office  *office.Office
	people  *people.Desk
	live    *live.Games
	site    *site.Site
	server  *httptest.Server
	at      atomic.Int64 // the hub's time, which what goes on beside a request reads too
	random  io.Reader
	seasons *seasons
	bench   string // secret of a bench that is paired
}

// clock is what the hub takes for now.
func (h *hub) clock() entry.Millis { return entry.Millis(h.at.Load()) }

// later lets time pass.
func (h *hub) later(by entry.Millis) { h.at.Add(int64(by)) }

const association = "harbour"

func newHub(t testing.TB) *hub {
	t.Helper()
	h := &hub{t: t, random: rand.Reader}
	h.at.Store(1_700_000_000_000)
	store, err := sqlite.Open(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	h.store = store
	now := h.clock
	logger := slog.New(slog.DiscardHandler)
	h.office = office.New(store, association, now, rand.Reader)
	founded := office.Association{ID: association, Name: "Harbour League", Made: h.clock()}
	if err := store.Found(t.Context(), founded, h.office.Note("test", "founded", "", "")); err != nil {
		t.Fatal(err)
	}
	names := &counted.Names{Association: association, Store: store, Now: now, Plan: func(context.Context) (counted.Plan, error) {
		return counted.PlanOf(h.seasons.files.league, h.seasons.files.schedule), nil
	}}
	h.live = live.New(live.Config{Store: store, Association: association, Now: now, Logger: logger, Named: names.Of})
	h.people = people.New(store, association, now, rand.Reader)
	h.seasons = newSeasons(store, h.live, names)
	h.site = site.New(site.Config{
		Seasons: h.seasons, Names: names,
		Store: store, Office: h.office, People: h.people, Live: h.live, Association: association, Address: "http://hub.example", Now: now, Logger: logger,
		Rooms:     rooms.New(rooms.Config{Asker: bus.NewMemory(), Now: now, Random: rand.Reader}),
		Languages: func(...string) api.Words { return locale.English() }, QR: lan.QR, Report: onPaper,
		Pages: fstest.MapFS{"index.html": {Data: []byte("<!doctype html><title>Whistlestop</title>")}},
	})
	h.server = httptest.NewServer(h.site)
	t.Cleanup(func() {
		h.site.Close()
		h.server.Close()
		h.live.Close()
		if err := store.Close(); err != nil {
			t.Error(err)
		}
	})
	h.bench = h.issue(office.Bench, "Saltworks Arena")
	return h
}

// onPaper writes a report as the program does.
func onPaper(out io.Writer, ledger []entry.Entry, name string, words api.Words) (string, error) {
	format, known := paper.ByName(name)
	if !known {
		return "", errors.New("no such format")
	}
	return format.Media, format.Write(out, ledger, paper.Options{Paper: "a4", Words: words})
}

func (h *hub) issue(kind office.Kind, label string) string {
	h.t.Helper()
	secret, _, err := h.office.Issue(h.t.Context(), kind, label, 3600_000, office.By{Who: "test"})
	if err != nil {
		h.t.Fatal(err)
	}
	return secret
}

// answer is what a request was answered with.
type answer struct {
	*http.Response
	body string
}

func (h *hub) do(request *http.Request) answer {
	h.t.Helper()
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	response, err := client.Do(request)
	if err != nil {
		h.t.Fatal(err)
	}
	raw, err := io.ReadAll(response.Body)
	if err != nil {
		h.t.Fatal(err)
	}
	if err := response.Body.Close(); err != nil {
		h.t.Fatal(err)
	}
	return answer{response, string(raw)}
}

func (h *hub) request(method, path, body string) *http.Request {
	h.t.Helper()
	request, err := http.NewRequestWithContext(h.t.Context(), method, h.server.URL+path, strings.NewReader(body))
	if err != nil {
		h.t.Fatal(err)
	}
	return request
}

func (h *hub) get(path string) answer { h.t.Helper(); return h.do(h.request("GET", path, "")) }

// asBench asks as the bench that is paired.
func (h *hub) asBench(method, path, body string) answer {
	h.t.Helper()
	request := h.request(method, path, body)
	request.Header.Set("Authorization", "Bearer "+h.bench)
	return h.do(request)
}

// problem is what a bench reads of a no.
type problem struct {
	Type, Title, Detail           string
	Status, Want, Seq, Kept, Line int
	Epoch                         int
}

// no holds an answer against a kind of problem.
func (a answer) no(t testing.TB, status int, kind string) problem {
	t.Helper()
	var p problem
	if err := json.Unmarshal([]byte(a.body), &p); err != nil {
		t.Fatalf("%s: %v", a.body, err)
	}
	if a.StatusCode != status || p.Status != status || p.Type != "urn:whistlestop:problem:"+kind || p.Title == "" || strings.HasPrefix(p.Title, "hub.") ||
		a.Header.Get("Content-Type") != "application/problem+json" {
		t.Fatalf("%d %+v, want %d %s", a.StatusCode, p, status, kind)
	}
	if strings.HasPrefix(p.Detail, "hub.") || !strings.Contains(p.Detail, " ") {
		t.Errorf("detail %q", p.Detail)
	}
	return p
}

// head is where the hub says that a ledger ends.
func (a answer) head(t testing.TB) (head struct {
	Epoch, Seq, Common int
	Hash               string
	Forked             bool
}) {
	t.Helper()
	if err := json.Unmarshal([]byte(a.body), &head); err != nil || a.StatusCode != http.StatusOK {
		t.Fatalf("%d %s: %v", a.StatusCode, a.body, err)
	}
	return head
}

// game is an invented game with the lines that go out.
type game struct {
	id     string
	ledger []entry.Entry
	lines  []string
}

// played is the invented game up to a moment, begun at an instant.
func played(t testing.TB, moment string, at entry.Millis) game {
	t.Helper()
	ledger, err := demo.Ledger(moment, at)
	if err != nil {
		t.Fatal(err)
	}
	return without(t, ledger)
}

// without is a game whose names stay at the bench.
func without(t testing.TB, ledger []entry.Entry) game {
	t.Helper()
	g := game{id: ledger[0].Game, ledger: ledger}
	for _, e := range ledger {
		out, err := entry.Withdraw(e, func(text string) []byte { return bytes.Repeat([]byte{byte(len(text))}, entry.RandomBytes) })
		if err != nil {
			t.Fatal(err)
		}
		raw, err := out.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		g.lines = append(g.lines, string(raw)+"\n")
	}
	return g
}

// and is the game with another note after so many entries.
func (g game) and(t testing.TB, after int, id string) game {
	t.Helper()
	last := g.ledger[after-1]
	prev, err := last.Hash()
	if err != nil {
		t.Fatal(err)
	}
	e := entry.Entry{ID: id, Game: g.id, Seq: after + 1, Wall: last.Wall + 1000, Seat: entry.Solo, Prev: prev, Body: entry.Note{Text: "A note."}}
	return without(t, append(g.ledger[:after:after], e))
}

func entriesPath(g game, epoch int) string {
	return fmt.Sprintf("/v1/ledgers/%s/entries?epoch=%d", g.id, epoch)
}

func (h *hub) send(g game, from, to int) answer {
	h.t.Helper()
	return h.asBench("POST", entriesPath(g, 1), strings.Join(g.lines[from:to], ""))
}

func where(g game) ledgers.Where { return ledgers.Where{Association: association, Game: g.id} }

// browser is somebody who is signed in.
type browser struct {
	*hub
	cookie *http.Cookie
}

func (h *hub) signIn() *browser {
	h.t.Helper()
	secret := h.issue(office.First, "")
	if got := h.get("/first/" + secret); got.StatusCode != http.StatusOK {
		h.t.Fatal(got.Status)
	}
	in := h.form("/first/"+secret, nil, "name", "Robin Ashdown")
	if in.StatusCode != http.StatusSeeOther || len(in.Cookies()) != 1 {
		h.t.Fatalf("%s %s", in.Status, in.body)
	}
	if again := h.form("/first/"+secret, nil, "name", "Robin Ashdown"); again.StatusCode != http.StatusGone {
		h.t.Errorf("a link was used twice: %s", again.Status)
	}
	return &browser{h, in.Cookies()[0]}
}

func (b *browser) page(path string) answer {
	b.t.Helper()
	request := b.request("GET", path, "")
	request.AddCookie(b.cookie)
	return b.do(request)
}

func (b *browser) post(path string, pairs ...string) answer {
	b.t.Helper()
	return b.form(path, b.cookie, pairs...)
}

// form sends a form, with a cookie if there is one.
func (h *hub) form(path string, cookie *http.Cookie, pairs ...string) answer {
	h.t.Helper()
	form := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		form.Set(pairs[i], pairs[i+1])
	}
	request := h.request("POST", path, form.Encode())
	request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	if cookie != nil {
		request.AddCookie(cookie)
	}
	return h.do(request)
}

// stream is a stream that is open.
type stream struct {
	t     testing.TB
	body  io.ReadCloser
	rest  []byte
	close context.CancelFunc
}

// event is one that came.
type event struct{ name, id, data string }

func (h *hub) follow(token, game, lastID string) *stream {
	h.t.Helper()
	ctx, cancel := context.WithCancel(h.t.Context())
	request := h.request("GET", "/v1/follow/"+token+"/games/"+game+"/stream", "").WithContext(ctx)
	if lastID != "" {
		request.Header.Set("Last-Event-ID", lastID)
	}
	response, err := http.DefaultClient.Do(request)
	if err != nil || response.StatusCode != http.StatusOK {
		cancel()
		h.t.Fatalf("%v %v", response, err)
	}
	h.t.Cleanup(cancel)
	return &stream{t: h.t, body: response.Body, close: cancel}
}

// next is the next event that is no beat.
func (s *stream) next() event {
	s.t.Helper()
	for {
		head, rest, whole := bytes.Cut(s.rest, []byte("\n\n"))
		if !whole {
			piece := make([]byte, 64<<10)
			n, err := s.body.Read(piece)
			if n == 0 && err != nil {
				s.t.Fatalf("the stream ended: %v", err)
			}
			s.rest = append(s.rest, piece[:n]...)
			continue
		}
		s.rest = rest
		var e event
		for line := range strings.SplitSeq(string(head), "\n") {
			name, value, _ := strings.Cut(line, ": ")
			switch name {
			case "event":
				e.name = value
			case "id":
				e.id = value
			case "data":
				e.data = value
			}
		}
		if e.name != "beat" && e.name != "" {
			return e
		}
	}
}
