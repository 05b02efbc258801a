package web_test

import (
	"crypto/rand"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"
	"testing"

	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/locale"
	"whistlestop/internal/locale/pseudo"
	"whistlestop/internal/seats"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/web"
)

// speaking returns a server with one open game that speaks the made-up language, too.
func speaking(t *testing.T) *web.Server {
	live := bench.New(memory.New(), bench.SteadyClock(), bench.ULIDs(), slog.New(slog.DiscardHandler))
	s := web.New(web.Config{
		Service: laptop.Service{
			Bench: live, Seats: seats.New(seats.Config{Now: live.Now, Random: rand.Reader}), QR: drawText,
			Languages: web.Speaks(pseudo.Spoken()), Logger: slog.New(slog.DiscardHandler),
		},
		Pages: built, Own: netip.Addr.IsLoopback,
	})
	t.Cleanup(func() { s.Close(); live.Close() })
	opened := do(s, post("/api/games", `{"id": "`+game+`", "division": "harbour-u14", "home": {"name": "Kelp Bay"}, "visitors": {"name": "Lanternside"}}`))
	if opened.Code != http.StatusCreated {
		t.Fatalf("open: %d %s", opened.Code, opened.Body)
	}
	return s
}

// TestProblemsSpeakTheCallersLanguage: of every kind of no, by each of those who say
// it: guard, limits, shell, table, operation, bench.
func TestProblemsSpeakTheCallersLanguage(t *testing.T) {
	s := speaking(t)
	for name, request := range map[string]*http.Request{
		"no such question":        get("/api/nothing"),
		"another method":          with(get("/api/games"), "method", "DELETE"),
		"a foreign page":          with(post("/api/games", "{}"), "Origin", "http://elsewhere.example"),
		"an unknown host":         with(get("/api/games"), "Host", "elsewhere.example"),
		"no such game":            get("/api/games/01JD0000000000000000000099"),
		"no division":             post("/api/games", `{"id": "01JD0000000000000000000098", "division": "", "home": {"name": "Kelp Bay"}, "visitors": {"name": "Lanternside"}}`),
		"not JSON":                with(post("/api/games", "{}"), "Content-Type", "text/plain"),
		"an entry that cannot be": post(entryURL, entries(entryJSON(noteID, "note", `{"text":""}`))),
		"a guest who posts":       with(post(entryURL, entries(note)), "from", "192.0.2.9:50000"),
		"a report that is not":    get("/api/games/" + game + "/report?times=never"),
		"too much":                post(entryURL, strings.Repeat(" ", 300<<10)),
	} {
		t.Run(name, func(t *testing.T) {
			answer := do(s, with(request, "Accept-Language", "tlh, "+pseudo.Tag+";q=0.9, en;q=0.5"))
			var problem api.Problem
			if err := json.Unmarshal(answer.Body.Bytes(), &problem); err != nil || problem.Title == "" || problem.Detail == "" {
				t.Fatalf("%d %s", answer.Code, answer.Body)
			}
			stays := "Kelp Bay Lanternside DELETE GET POST HEAD JSON elsewhere example never application json invalid character"
			if left := pseudo.Left(problem.Title+" "+problem.Detail, stays); len(left) > 0 {
				t.Errorf("English is left: %q in %q: %q", left, problem.Title, problem.Detail)
			}
			if got := answer.Header().Get("Content-Language"); got != pseudo.Tag {
				t.Errorf("it says that it is in %q", got)
			}
		})
	}
}

func TestWhichLanguageAnAnswerSpeaks(t *testing.T) {
	s := speaking(t)
	english := locale.English().Text("web.no_api", nil)
	for _, test := range []struct {
		path, accept string
		english      bool
	}{
		{"/api/nothing", "", true},
		{"/api/nothing", "tlh", true},
		{"/api/nothing", "en-GB, " + pseudo.Tag, true},
		{"/api/nothing", pseudo.Tag, false},
		{"/api/nothing", "*;q=0.1, " + pseudo.Tag + ";q=0.9", false},
		{"/api/nothing?language=" + pseudo.Tag, "en", false}, // a link to a file
		{"/api/nothing?language=tlh", pseudo.Tag, false},
	} {
		if got := strings.Contains(do(s, with(get(test.path), "Accept-Language", test.accept)).Body.String(), english); got != test.english {
			t.Errorf("%s, %q: English is %v", test.path, test.accept, got)
		}
	}
	page := do(s, with(get("/nowhere.js"), "Accept-Language", pseudo.Tag)).Body.String()
	if !strings.Contains(page, `<html lang="`+pseudo.Tag+`">`) || !strings.Contains(page, pseudo.Text(locale.English().Text("web.no_page", nil))) {
		t.Errorf("a page says\n%s", page)
	}
}
