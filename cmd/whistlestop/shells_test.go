package main

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"
	"testing/fstest"

	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/locale"
	"whistlestop/internal/practice"
	"whistlestop/internal/seats"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/web"
	"whistlestop/practice/maker"
	"whistlestop/practice/script"
)

// setClock shows what it was set to.
type setClock struct{ now entry.Millis }

func (c *setClock) Now() entry.Millis { return c.now }

// countedFor are ids that nobody looks at.
type countedFor struct{}

func (countedFor) New(entry.Millis) string { return "01JD0000000000000000000ZZZ" }

// shells are the two shells of the API with the same game in each.
type shells struct {
	t     *testing.T
	room  *practice.Room
	page  http.Handler
	clock *setClock
	game  string
	asked map[string]bool // rows of the table
	count int
}

// newShells begins the standard practice in one shell and gives its ledger to the
// other.
func newShells(t *testing.T, one script.Script) *shells {
	t.Helper()
	s := &shells{t: t, room: practice.NewRoom(), clock: &setClock{1_770_000_000_000}, asked: map[string]bool{}}
	call := func(method, path, body string) []byte {
		status, answer := s.room.Call(method, path, []byte(body), s.clock.now)
		if status != http.StatusOK {
			t.Fatalf("%s %s: %d %s", method, path, status, answer)
		}
		return answer
	}
	var begun practice.Begun
	if err := json.Unmarshal(call("POST", "/practice/begin", `{"script":"`+one.ID+`","seat":"solo","pace":"fast"}`), &begun); err != nil {
		t.Fatal(err)
	}
	s.game = begun.Game
	ledger, err := entry.ReadLedger(call("GET", "/games/"+s.game+"/ledger.jsonl", ""))
	if err != nil {
		t.Fatal(err)
	}
	kept := memory.New()
	if err := kept.Append(context.Background(), s.game, ledger); err != nil {
		t.Fatal(err)
	}
	quiet := slog.New(slog.DiscardHandler)
	live := bench.New(kept, s.clock, countedFor{}, quiet)
	server := web.New(web.Config{
		Service: laptop.Service{
			Bench: live, Seats: seats.New(seats.Config{Now: live.Now}), Languages: web.Speaks(locale.Shipped()), Logger: quiet,
		},
		Pages: fstest.MapFS{}, Own: netip.Addr.IsLoopback,
	})
	server.Views.Run = "" // a practice has one run
	t.Cleanup(func() { server.Close(); live.Close() })
	s.page = server
	return s
}

// ask asks both shells, and holds one answer to the other.
func (s *shells) ask(method, path, body string) (status int, answer []byte) {
	s.t.Helper()
	s.count++
	for _, o := range api.Operations() {
		bare, _, _ := strings.Cut(path, "?")
		if _, fits := o.Fits(bare); fits && o.Method == method {
			s.asked[method+" "+o.Path] = true
		}
	}
	status, answer = s.room.Call(method, strings.TrimPrefix(path, "/api"), []byte(body), s.clock.now)
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host, r.RemoteAddr = "127.0.0.1:8480", "127.0.0.1:50000"
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	w := httptest.NewRecorder()
	s.page.ServeHTTP(w, r)
	other := w.Body.Bytes()
	if strings.HasSuffix(path, "/session") { // the game of a practice is known, the bench's own computer has many
		other = bytes.Replace(other, []byte(`"game":""`), []byte(`"game":"`+s.game+`"`), 1)
	}
	if w.Code != status || !bytes.Equal(other, answer) {
		s.t.Fatalf("%s %s %.200s\nin a page:  %d %.1500s\nover HTTP: %d %.1500s", method, path, body, status, answer, w.Code, other)
	}
	return status, answer
}

// TestBothShellsAnswerAlike: every operation that both shells have is answered
// with the same bytes, also where it says no, in a game that is played through.
func TestBothShellsAnswerAlike(t *testing.T) {
	t.Parallel() // it waits most of its time
	one := maker.Standard()
	s := newShells(t, one)
	about := "/api/games/" + s.game
	questions := []string{
		"/api/time", "/api/session", "/api/divisions", "/api/codes", "/api/games", about, about + "/ledger.jsonl",
		about + "/ledger.jsonl?after=2", about + "/ledger.jsonl?texts=inside", about + "/ledger.jsonl?after=-1",
		about + "/slot", about + "/slot?start_ms=1770000000000&length_ms=3600000", about + "/slot?length_ms=1", about + "/announcements",
		"/api/games/01JD0000000000000000000009", "/api/games/nothing/slot", "/api/games/01JD0000000000000000000009/ledger.jsonl",
	}
	for _, path := range questions {
		s.ask("GET", path, "")
	}
	posted, refused := 0, 0
	for i, a := range one.Answers {
		if a.Cue < 0 {
			continue // both have them
		}
		draft := a.Entry
		draft.Seq, draft.Prev = 0, ""
		s.clock.now = max(s.clock.now, draft.Wall)
		line, err := draft.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		body := `{"entries":[` + string(line) + `]}`
		s.ask("POST", about+"/preview", body)
		if status, _ := s.ask("POST", about+"/entries", body); status == http.StatusOK {
			posted++
		} else {
			refused++
		}
		if i%10 == 0 {
			for _, path := range questions {
				s.ask("GET", path, "")
			}
		}
	}
	for _, body := range []string{`{"`, `{"entries":[]}`, `{"entries":[{}]}`, `{"entrys":[]}`, `{"entries":[]}{}`, `[1]`} {
		for _, path := range []string{"/preview", "/entries"} {
			if status, answer := s.ask("POST", about+path, body); status < 400 {
				t.Errorf("%s is answered %d %s", body, status, answer)
			}
		}
	}
	for _, o := range api.Operations() {
		if name := o.Method + " " + o.Path; !s.asked[name] {
			t.Errorf("%s was not asked", name)
		}
	}
	if posted < 30 {
		t.Errorf("only %d posts were taken, %d not: the test shows little", posted, refused)
	}
	t.Logf("%d questions, %d posts taken, %d not", s.count, posted, refused)
}
