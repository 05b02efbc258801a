package main

import (
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/demo"
)

// asker asks a program over HTTP, with the cookies of a browser.
type asker struct {
	t      *testing.T
	client *http.Client
	root   string
}

func (a asker) ask(method, path, body string) (int, string) {
	a.t.Helper()
	r, err := http.NewRequestWithContext(a.t.Context(), method, a.root+path, strings.NewReader(body))
	if err != nil {
		a.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/json")
	answer, err := a.client.Do(r)
	if err != nil {
		a.t.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	if failed := answer.Body.Close(); err != nil || failed != nil {
		a.t.Fatal(err, failed)
	}
	return answer.StatusCode, string(text)
}

func (a asker) form(path, form string) string {
	a.t.Helper()
	answer, err := a.client.Post(a.root+path, "application/x-www-form-urlencoded", strings.NewReader(form))
	if err != nil {
		a.t.Fatal(err)
	}
	text, err := io.ReadAll(answer.Body)
	if failed := answer.Body.Close(); err != nil || failed != nil || answer.StatusCode != http.StatusOK {
		a.t.Fatal(answer.Status, string(text), err, failed)
	}
	return string(text)
}

func (a asker) must(method, path, body string) string {
	a.t.Helper()
	status, text := a.ask(method, path, body)
	if status/100 != 2 {
		a.t.Fatalf("%s %s: %d %s", method, path, status, text)
	}
	return text
}

// newClient is a browser of its own.
func newClient(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar}
}

// signedIn is the browser of an admin of a hub that is running.
func signedIn(t *testing.T, p *Program, out *printed) asker {
	t.Helper()
	a := asker{t, newClient(t), p.hub.address}
	first := strings.TrimPrefix(out.find(t, "admin"), p.hub.address)
	if page := a.form(first, "name=Robin+Ashdown"); !strings.Contains(page, "/crew/"+p.hub.id+"/desk") {
		t.Fatal("the page leads to no desk:", page)
	}
	return a
}

// A desk moves from a coordinator's computer to the hub, is saved with it and comes back:
// the token of a link opens the same page all the way.
func TestADeskMovesToAHubAndIsSavedWithIt(t *testing.T) {
	t.Parallel() // it waits most of its time
	folder := t.TempDir()
	_, told := running(t, "desk", "--demo", "--listen", "127.0.0.1:0")
	old := asker{t, http.DefaultClient, strings.TrimSuffix(told.find(t, "desk"), "/desk")}
	var list struct{ People []struct{ ID, Name string } }
	if err := json.Unmarshal([]byte(old.must("GET", "/api/crew/people", "")), &list); err != nil {
		t.Fatal(err)
	}
	var made struct{ Link string }
	if err := json.Unmarshal([]byte(old.must("POST", "/api/crew/links", `{"person":"`+list.People[0].ID+`"}`)), &made); err != nil {
		t.Fatal(err)
	}
	_, token, _ := strings.Cut(made.Link, "#")
	before := old.must("GET", "/api/crew/mine/"+token, "")
	whole := old.must("GET", "/api/crew/whole.json", "")

	data := filepath.Join(folder, "hub")
	p, out := running(t, "hub", "--data", data, "--listen", "127.0.0.1:0")
	boss, stranger := signedIn(t, p, out), asker{t, http.DefaultClient, p.hub.address}
	desk := "/crew/" + p.hub.id
	if said := boss.must("PUT", desk+"/api/crew/whole.json", whole); !strings.Contains(said, `"hub":true`) || strings.Contains(said, `"moved":""`) {
		t.Error(said)
	}
	if after := stranger.must("GET", desk+"/api/crew/mine/"+token, ""); after != before {
		t.Errorf("the page was\n%s\nand is\n%s", before, after)
	}
	for _, path := range []string{"/api/crew", "/api/crew/people", "/api/season", "/desk"} {
		if status, text := stranger.ask("GET", desk+path, ""); status != http.StatusForbidden {
			t.Errorf("%s without a session: %d %s", path, status, text)
		}
		if path != "/desk" { // a build without screens says that it has none
			boss.must("GET", desk+path, "")
		}
	}
	if status, _ := boss.ask("GET", "/crew/somebody-elses/desk", ""); status != http.StatusNotFound {
		t.Errorf("a desk that is not there: %d", status)
	}

	copied := filepath.Join(folder, "copy.db")
	if said := must(t, "hub", "backup", copied, "--data", data); !strings.Contains(said, "crew-desk.json") {
		t.Error(said)
	}
	again := filepath.Join(folder, "again")
	must(t, "hub", "restore", copied, "--data", again)
	p, _ = running(t, "hub", "--data", again, "--listen", "127.0.0.1:0")
	stranger.root = p.hub.address
	if after := stranger.must("GET", desk+"/api/crew/mine/"+token, ""); after != before {
		t.Errorf("after restoring the page is\n%s", after)
	}
}

// The season of a hub knows the games that benches sent by their ids in the schedule.
func TestTheSeasonOfAHubKnowsWhatWasPlayed(t *testing.T) {
	t.Parallel() // it waits most of its time
	p, out := running(t, "hub", "demo", "--listen", "127.0.0.1:0")
	listed(t, out.find(t, "follow"), func(body string) bool { return strings.Count(body, `"live":true`) == 2 })
	desk, err := p.hub.crews.Open(t.Context(), "nobody")
	if err == nil || desk != nil {
		t.Error("a desk of nobody is opened")
	}
	games := p.hub.gamesOf(t.Context(), p.hub.id)
	titles, err := games.Games(t.Context())
	on, over := 0, 0
	for _, title := range titles {
		if title.Stage.Kind == entry.Over {
			over++
		} else {
			on++
		}
	}
	if err != nil || on != 2 || over < 3 {
		t.Fatalf("%d are on, %d are over: %+v, %v", on, over, titles, err)
	}
	titles = slices.DeleteFunc(titles, func(title bench.Title) bool { return title.Stage.Kind == entry.Over })
	want, err := demo.Ledger("third-period", 1_700_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	opening, _ := want[0].Body.(entry.GameOpened)
	for _, title := range titles {
		ledger, err := games.Ledger(t.Context(), title.ID)
		if err != nil || len(ledger) != title.Seq || title.Schedule != opening.Schedule || title.Home != opening.Home.Name {
			t.Errorf("%+v: %d entries, %v", title, len(ledger), err)
		}
	}
}
