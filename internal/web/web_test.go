package web_test

import (
	"crypto/rand"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"testing/fstest"

	"go.uber.org/goleak"

	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/locale"
	"whistlestop/internal/seats"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/web"
)

func TestMain(m *testing.M) { goleak.VerifyTestMain(m) }

const game = "01JD0000000000000000000000"

// built is a front end as the bundler leaves it.
var built = fstest.MapFS{
	"index.html":        {Data: []byte("<!doctype html><title>Whistlestop</title>" + strings.Repeat("<p>page</p>", 50))},
	"assets/app-1a.js":  {Data: []byte(strings.Repeat("export const x = 1\n", 100))},
	"assets/f-2b.woff2": {Data: []byte("font")},
	".gitkeep":          {},
}

// newServer returns a server with one open game.
func newServer(t testing.TB, pages fstest.MapFS) *web.Server {
	return serverOver(t, pages, memory.New())
}

// serverOver is newServer over ledgers that may hold more games, reached by
// further names.
func serverOver(t testing.TB, pages fstest.MapFS, log bench.Log, hosts ...string) *web.Server {
	live := bench.New(log, bench.SteadyClock(), bench.ULIDs(), slog.New(slog.DiscardHandler))
	s := web.New(web.Config{
		Service: laptop.Service{
			Bench: live, Seats: seats.New(seats.Config{Now: live.Now, Random: rand.Reader}), QR: drawText, Languages: web.Speaks(locale.Shipped()), Logger: slog.New(slog.DiscardHandler),
		},
		Pages: pages,
		Own:   func(a netip.Addr) bool { return a.Unmap().IsLoopback() || a == netip.MustParseAddr("192.168.7.20") },
		Hosts: hosts,
	})
	t.Cleanup(func() { s.Close(); live.Close() })
	opened := do(s, post("/api/games", `{"id": "`+game+`", "division": "harbour-u14",
		"home": {"name": "Kelp Bay", "players": [{"number": "7"}]}, "visitors": {"name": "Lanternside"}}`))
	if opened.Code != http.StatusCreated {
		t.Fatalf("open: %d %s", opened.Code, opened.Body)
	}
	return s
}

// drawText stands in for the drawing of a QR code, so that a test reads it.
func drawText(text string) (string, error) { return "<svg>" + text + "</svg>", nil }

func get(path string) *http.Request {
	r := httptest.NewRequest("GET", path, nil)
	r.Host, r.RemoteAddr = "127.0.0.1:8480", "127.0.0.1:50000"
	return r
}

func post(path, body string) *http.Request {
	r := httptest.NewRequest("POST", path, strings.NewReader(body))
	r.Host, r.RemoteAddr = "127.0.0.1:8480", "127.0.0.1:50000"
	r.Header.Set("Content-Type", "application/json")
	return r
}

func with(r *http.Request, headers ...string) *http.Request {
	for i := 0; i+1 < len(headers); i += 2 {
		switch headers[i] {
		case "Host":
			r.Host = headers[i+1]
		case "from":
			r.RemoteAddr = headers[i+1]
		case "method":
			r.Method = headers[i+1]
		default:
			r.Header.Set(headers[i], headers[i+1])
		}
	}
	return r
}

func do(h http.Handler, r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// entryJSON is a draft as a client sends it.
func entryJSON(id, kind, body string) string {
	return `{"specversion":"1.0","id":"` + id + `","source":"/game/` + game + `","type":"whistlestop.` + kind +
		`.v1","time":"2026-01-10T18:00:00.000Z","seat":"solo","data":{"at":{"period":0,"elapsed_ms":0},"body":` + body + `}}`
}

func entries(list ...string) string { return `{"entries":[` + strings.Join(list, ",") + `]}` }

const (
	noteID   = "01JD0000000000000000000010"
	otherID  = "01JD0000000000000000000011"
	entryURL = "/api/games/" + game + "/entries"
)

var note = entryJSON(noteID, "note", `{"text":"a note"}`)

// scenario is one request and what its answer must and must not say.
type scenario struct {
	name    string
	request *http.Request
	status  int
	has     []string
	hasNot  []string
	keeps   bool // whether the ledger may grow
}

func run(t *testing.T, s *web.Server, scenarios []scenario) {
	for _, sc := range scenarios {
		t.Run(sc.name, func(t *testing.T) {
			before := do(s, get("/api/games/"+game+"/ledger.jsonl")).Body.String()
			answer := do(s, sc.request)
			body := answer.Body.String()
			if answer.Code != sc.status {
				t.Errorf("status %d, want %d: %s", answer.Code, sc.status, body)
			}
			for _, part := range sc.has {
				if !strings.Contains(body, part) {
					t.Errorf("no %q in %s", part, body)
				}
			}
			for _, part := range append(sc.hasNot, "goroutine", ".go:", "/internal/") {
				if strings.Contains(body, part) {
					t.Errorf("%q in %s", part, body)
				}
			}
			if sc.status >= 400 && strings.HasPrefix(sc.request.URL.Path, "/api/") && sc.request.Method != "HEAD" {
				var problem struct {
					Type, Title, Detail string
					Status              int
				}
				if err := json.Unmarshal(answer.Body.Bytes(), &problem); err != nil {
					t.Fatalf("not a problem: %v", err)
				}
				if answer.Header().Get("Content-Type") != "application/problem+json" || problem.Status != sc.status ||
					problem.Title == "" || problem.Detail == "" || !strings.HasPrefix(problem.Type, "urn:whistlestop:problem:") ||
					strings.HasPrefix(problem.Title, "web.") || strings.HasPrefix(problem.Detail, "web.") {
					t.Errorf("not a whole problem: %s", body)
				}
			}
			after := do(s, get("/api/games/"+game+"/ledger.jsonl")).Body.String()
			if !strings.HasPrefix(after, before) || !sc.keeps && after != before {
				t.Errorf("the ledger went from\n%sto\n%s", before, after)
			}
		})
	}
}

func TestQuestions(t *testing.T) {
	run(t, newServer(t, built), []scenario{
		{name: "health", request: get("/api/health"), status: 200, has: []string{`"status":"ok"`}},
		{name: "time", request: get("/api/time?sent=1"), status: 200, has: []string{"received_ms", "sent_ms"}},
		{name: "divisions", request: get("/api/divisions"), status: 200, has: []string{`{"divisions":[`, "harbour-u14"}},
		{name: "codes", request: get("/api/codes"), status: 200, has: []string{`{"codes":[`, `"tripping"`}},
		{name: "games", request: get("/api/games"), status: 200, has: []string{`"home":"Kelp Bay"`, `"opened_ms":`}},
		{name: "state", request: get("/api/games/" + game), status: 200, has: []string{`{"state":{`, `"now_ms":`}},
		{name: "ledger", request: get("/api/games/" + game + "/ledger.jsonl"), status: 200, has: []string{`whistlestop.game_opened.v1`, "}\n"}},
		{name: "announcements", request: get("/api/games/" + game + "/announcements"), status: 200, has: []string{`"announce.welcome"`, `"seq":1`}},
		{name: "announcements from a moment on", request: get("/api/games/" + game + "/announcements?from=1"), status: 200, has: []string{`"announcements":[`}, hasNot: []string{`"announce.welcome"`}},
		{name: "announcements from no moment", request: get("/api/games/" + game + "/announcements?from=now"), status: 400},
		{name: "no such game", request: get("/api/games/01JD0000000000000000000009"), status: 404, has: []string{"list of games"}},
		{name: "no id", request: get("/api/games/..%2f..%2fetc"), status: 404, hasNot: []string{"etc"}},
		{name: "stream of no game", request: get("/api/games/01JD0000000000000000000009/stream"), status: 404},
		{name: "no such address", request: get("/api/nothing"), status: 404},
		{name: "no such method", request: with(post("/api/games/"+game, "{}"), "method", "DELETE"), status: 405, has: []string{"GET, HEAD"}},
		{name: "reading where one posts", request: get(entryURL), status: 405, has: []string{"POST"}},
	})
}

func TestPosts(t *testing.T) {
	preview := "/api/games/" + game + "/preview"
	run(t, newServer(t, built), []scenario{
		{name: "a note", request: post(entryURL, entries(note)), status: 200, keeps: true,
			has: []string{`{"state":{`, `"posted":["` + noteID + `"]`, `"now_ms":`}},
		{name: "the same again", request: post(entryURL, entries(note)), status: 200, has: []string{`"posted":["` + noteID + `"]`}},
		{name: "its id with other content", request: post(entryURL, entries(entryJSON(noteID, "note", `{"text":"other"}`))),
			status: 409, has: []string{"Enter yours again", `"refused":[`}},
		{name: "preview", request: post(preview, entries(entryJSON(otherID, "note", `{"text":"x"}`))), status: 200, has: []string{`"says":[`}},
		{name: "broken JSON", request: post(entryURL, `{"entries":[`), status: 400, has: []string{"Nothing was posted"}},
		{name: "no JSON", request: post(entryURL, `entries`), status: 400},
		{name: "two bodies", request: post(entryURL, entries(note)+entries(note)), status: 400},
		{name: "unknown field", request: post(entryURL, `{"entrys":[]}`), status: 400, has: []string{"entrys"}},
		{name: "unknown field of an entry", request: post(entryURL, entries(entryJSON(otherID, "goal", `{"side":"home","scoorer":"7"}`))),
			status: 400, has: []string{"Entry 1", "scoorer"}},
		{name: "unknown kind", request: post(entryURL, entries(note, entryJSON(otherID, "dance", `{}`))), status: 400, has: []string{"Entry 2", "dance"}},
		{name: "impossible time", request: post(entryURL, entries(strings.Replace(note, "2026-01-10T18:00:00.000Z", "yesterday", 1))),
			status: 400, has: []string{"RFC 3339"}},
		{name: "null", request: post(entryURL, `{"entries":[null]}`), status: 400},
		{name: "nothing", request: post(entryURL, `{"entries":[]}`), status: 422, has: []string{"Enter something"}},
		{name: "three assists", request: post(entryURL, entries(entryJSON(otherID, "goal", `{"side":"home","assists":["1","2","3"]}`))),
			status: 422, has: []string{"at most two assists"}},
		{name: "unknown side", request: post(entryURL, entries(entryJSON(otherID, "goal", `{"side":"east"}`))),
			status: 422, has: []string{"home or visitors"}},
		{name: "negative clock", request: post(entryURL, entries(entryJSON(otherID, "clock_set", `{"elapsed_ms":-1}`))),
			status: 422, has: []string{`"field":"elapsed_ms"`}},
		{name: "a time in words", request: post(entryURL, entries(entryJSON(otherID, "clock_set", `{"elapsed_ms":"5:13"}`))), status: 400},
		{name: "another game", request: post(entryURL, entries(strings.ReplaceAll(entryJSON(otherID, "note", `{"text":"x"}`), game, "01JD0000000000000000000009"))),
			status: 422, has: []string{"another game"}},
		{name: "strike of nothing", request: post(entryURL, entries(strings.Replace(
			entryJSON(otherID, "struck", `{}`), `"seat"`, `"of":"01JD0000000000000000000099","seat"`, 1))), status: 422, has: []string{`"field":"of"`}},
		{name: "a game that is not there", request: post("/api/games/01JD0000000000000000000009/entries", entries(note)), status: 404},
		{name: "too large", request: post(entryURL, entries(entryJSON(otherID, "note", `{"text":"`+strings.Repeat("x", 300<<10)+`"}`))),
			status: 413, has: []string{"256 kB"}},
		{name: "a form", request: with(post(entryURL, "entries=1"), "Content-Type", "application/x-www-form-urlencoded"), status: 415},
		{name: "no content type", request: with(post(entryURL, entries(note)), "Content-Type", ""), status: 415},
		{name: "no such division", request: post("/api/games", `{"id":"`+otherID+`","division":"moon","home":{"name":"A"},"visitors":{"name":"B"}}`),
			status: 422, has: []string{"moon", `"field":"division"`}},
		{name: "a game without a team", request: post("/api/games", `{"id":"`+otherID+`","division":"harbour-u14","home":{"name":""},"visitors":{"name":"B"}}`),
			status: 422, has: []string{"needs a name"}},
		{name: "a game without an id", request: post("/api/games", `{"division":"harbour-u14","home":{"name":"A"},"visitors":{"name":"B"}}`), status: 422},
	})
}

// A game of a schedule is opened with its place there and the end of its ice, however often the answer is lost.
func TestAGameOfAScheduleIsOpened(t *testing.T) {
	const opening = `{"id":"` + otherID + `","division":"harbour-u14","home":{"name":"A"},"visitors":{"name":"B"},"schedule":"u14-004","slot_end_ms":`
	s := newServer(t, built)
	run(t, s, []scenario{
		{name: "an end before all time", request: post("/api/games", opening+"-5}"), status: 422, has: []string{"slot_end_ms"}},
		{name: "no trace of it", request: get("/api/games/" + otherID), status: 404},
		{name: "opened", request: post("/api/games", opening+"1796500000000}"), status: 201},
		{name: "opened again", request: post("/api/games", opening+"1796500000000}"), status: 201},
		{name: "its ledger", request: get("/api/games/" + otherID + "/ledger.jsonl"), status: 200, has: []string{`"schedule":"u14-004"`, `"slot_end_ms":1796500000000`}},
	})
	if lines := strings.Count(do(s, get("/api/games/"+otherID+"/ledger.jsonl")).Body.String(), "\n"); lines != 2 {
		t.Errorf("%d entries, want the opening and the end of the ice", lines)
	}
}

func TestGuests(t *testing.T) {
	const guest = "192.168.7.99:50000"
	fresh := entries(entryJSON(otherID, "note", `{"text":"x"}`))
	run(t, newServer(t, built), []scenario{
		{name: "a guest looks", request: with(get("/api/games/"+game), "from", guest, "Host", "192.168.7.20:8480"), status: 200},
		{name: "a guest posts", request: with(post(entryURL, fresh), "from", guest, "Host", "192.168.7.20:8480"), status: 403, has: []string{"scan the QR code"}},
		{name: "a guest previews", request: with(post("/api/games/"+game+"/preview", fresh), "from", guest, "Host", "192.168.7.20:8480"), status: 403},
		{name: "a guest says it is us", request: with(post(entryURL, fresh), "from", guest, "X-Forwarded-For", "127.0.0.1"), status: 403},
		{name: "we post by our own address", request: with(post(entryURL, fresh), "from", "192.168.7.20:50000", "Host", "192.168.7.20:8480"), status: 200, keeps: true},
		{name: "a name that leads here", request: with(get("/api/games"), "Host", "rebound.example:8480"), status: 421, hasNot: []string{"Kelp Bay"}},
		{name: "a foreign address", request: with(get("/api/games"), "Host", "192.0.2.1"), status: 421},
		{name: "no host", request: with(get("/api/games"), "Host", ""), status: 421},
		{name: "localhost", request: with(get("/api/games"), "Host", "localhost:8480"), status: 200},
		{name: "IPv6 loopback", request: with(get("/api/games"), "Host", "[::1]:8480"), status: 200},
		{name: "another page posts", request: with(post(entryURL, fresh), "Origin", "http://rebound.example"), status: 403},
		{name: "another port posts", request: with(post(entryURL, fresh), "Origin", "http://127.0.0.1:9999"), status: 403},
		{name: "no origin at all", request: with(post(entryURL, fresh), "Origin", "null"), status: 403},
		{name: "another page reads the list", request: with(get("/api/games"), "Origin", "http://rebound.example"), status: 403},
		{name: "another page embeds the stream", request: with(get("/api/games/"+game+"/stream"), "Sec-Fetch-Site", "cross-site"), status: 403},
		{name: "another page posts without origin", request: with(post(entryURL, fresh), "Sec-Fetch-Site", "cross-site"), status: 403},
		{name: "our page posts", request: with(post(entryURL, fresh), "Origin", "http://127.0.0.1:8480", "Sec-Fetch-Site", "same-origin"), status: 200},
		{name: "a link leads here", request: with(get("/wall"), "Sec-Fetch-Site", "cross-site"), status: 200},
	})
}

func TestPages(t *testing.T) {
	s := newServer(t, built)
	run(t, s, []scenario{
		{name: "games", request: get("/"), status: 200, has: []string{"<p>page</p>"}},
		{name: "bench", request: get("/bench"), status: 200, has: []string{"<p>page</p>"}},
		{name: "bench of a game", request: get("/bench/" + game), status: 200, has: []string{"<p>page</p>"}},
		{name: "boxes of a game", request: get("/box/" + game), status: 200, has: []string{"<p>page</p>"}},
		{name: "wall", request: get("/wall/" + game), status: 200, has: []string{"<p>page</p>"}},
		{name: "asset", request: get("/assets/app-1a.js"), status: 200, has: []string{"export"}},
		{name: "no such asset", request: get("/assets/none.js"), status: 404, has: []string{"no such page"}},
		{name: "a folder", request: get("/assets"), status: 404},
		{name: "a hidden file", request: get("/.gitkeep"), status: 404},
		{name: "post to a page", request: post("/bench", ""), status: 405},
		{name: "post to an asset", request: post("/assets/app-1a.js", ""), status: 405},
	})
	answer := do(s, with(get("/assets/app-1a.js"), "Accept-Encoding", "br, gzip"))
	h := answer.Header()
	if h.Get("Content-Encoding") != "gzip" || !strings.Contains(h.Get("Cache-Control"), "immutable") ||
		h.Get("Content-Type") != "text/javascript; charset=utf-8" || answer.Body.Len() > 200 {
		t.Errorf("the packed script came with %v", h)
	}
	again := do(s, with(get("/assets/app-1a.js"), "Accept-Encoding", "gzip", "If-None-Match", `"x", `+h.Get("ETag")))
	if again.Code != http.StatusNotModified || again.Body.Len() != 0 {
		t.Errorf("asked again: %d, %d bytes", again.Code, again.Body.Len())
	}
	if plain := do(s, with(get("/assets/app-1a.js"), "Accept-Encoding", "gzip;q=0")); plain.Header().Get("Content-Encoding") != "" {
		t.Error("packed for a client that does not want it")
	}
	if font := do(s, with(get("/assets/f-2b.woff2"), "Accept-Encoding", "gzip")).Header(); font.Get("Content-Encoding") != "" || font.Get("Content-Type") != "font/woff2" {
		t.Errorf("the font came with %v", font)
	}
	if page := do(s, get("/bench")).Header().Get("Cache-Control"); page != "no-cache" {
		t.Errorf("the page came with %q", page)
	}
}

func TestPagesThatWereNotBuilt(t *testing.T) {
	run(t, newServer(t, fstest.MapFS{".gitkeep": {}}), []scenario{
		{name: "bench", request: get("/bench"), status: 503, has: []string{"make build"}},
		{name: "but the bench runs", request: get("/api/health"), status: 200},
	})
}

func TestEveryAnswerIsGuarded(t *testing.T) {
	s := newServer(t, built)
	for _, r := range []*http.Request{
		get("/"), get("/assets/app-1a.js"), get("/api/games"), get("/none"), with(get("/"), "Host", "rebound.example"),
	} {
		h := do(s, r).Header()
		policy := h.Get("Content-Security-Policy")
		for _, part := range []string{"default-src 'none'", "script-src 'self';", "frame-ancestors 'none'", "base-uri 'none'"} {
			if !strings.Contains(policy, part) {
				t.Errorf("%s: no %q in the policy %q", r.URL, part, policy)
			}
		}
		if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer" ||
			h.Get("X-Frame-Options") != "DENY" || h.Get("Cross-Origin-Opener-Policy") != "same-origin" || h.Get("Cross-Origin-Resource-Policy") != "same-origin" {
			t.Errorf("%s: came with %v", r.URL, h)
		}
	}
}

func TestScriptInANameStaysText(t *testing.T) {
	s := newServer(t, built)
	answer := do(s, post("/api/games", `{"id":"`+otherID+`","division":"harbour-u14",
		"home":{"name":"<script>alert(1)</script>"},"visitors":{"name":"B"}}`))
	if answer.Code != http.StatusCreated {
		t.Fatal(answer.Body)
	}
	body, err := io.ReadAll(do(s, get("/api/games")).Result().Body)
	if err != nil || strings.Contains(string(body), "<script>") {
		t.Errorf("%s, %v", body, err)
	}
}
