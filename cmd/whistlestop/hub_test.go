package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/internal/demo"
)

// printed is what a program said; it may be read while it prints.
type printed struct {
	mutex sync.Mutex
	text  bytes.Buffer
}

func (p *printed) Write(raw []byte) (int, error) {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.text.Write(raw)
}

// find is what stands behind a word at the beginning of a line.
func (p *printed) find(t *testing.T, word string) string {
	t.Helper()
	p.mutex.Lock()
	defer p.mutex.Unlock()
	for line := range strings.SplitSeq(p.text.String(), "\n") {
		if rest, is := strings.CutPrefix(line, word+" "); is {
			return rest
		}
	}
	t.Fatalf("no %s in %s", word, p.text.String())
	return ""
}

// after is what stands behind a text on its line.
func (p *printed) after(t *testing.T, text string) string {
	t.Helper()
	p.mutex.Lock()
	defer p.mutex.Unlock()
	_, rest, found := strings.Cut(p.text.String(), text)
	if !found {
		t.Fatalf("no %s in %s", text, p.text.String())
	}
	line, _, _ := strings.Cut(rest, "\n")
	return line
}

// running starts a program that serves; it ends with the test.
func running(t *testing.T, arguments ...string) (*Program, *printed) {
	t.Helper()
	out := &printed{}
	p := &Program{Out: out, Log: io.Discard}
	var once sync.Once
	end := func() {
		once.Do(func() {
			if err := p.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	t.Cleanup(end)
	if err := p.Run(t.Context(), arguments); err != nil {
		t.Fatal(p.explain(err))
	}
	return p, out
}

var linkOnPage = regexp.MustCompile(`data-hub="link">([^<]+)<`)

// admin is a browser that signed in with the link that a hub printed.
func admin(t *testing.T, out *printed) func(path string, pairs ...string) string {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := &http.Client{Jar: jar}
	first := out.find(t, "admin")
	root := strings.TrimSuffix(out.find(t, "hub"), "/")
	post := func(address string, pairs ...string) string {
		t.Helper()
		form := url.Values{}
		for i := 0; i < len(pairs); i += 2 {
			form.Set(pairs[i], pairs[i+1])
		}
		answer, err := client.PostForm(address, form)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(answer.Body)
		if closing := answer.Body.Close(); err != nil || closing != nil || answer.StatusCode != http.StatusOK {
			t.Fatal(answer.Status, string(raw), err, closing)
		}
		return string(raw)
	}
	if page := post(first, "name", "Robin Ashdown"); !strings.Contains(page, `data-hub="admin"`) {
		t.Fatal(page)
	}
	return func(path string, pairs ...string) string { t.Helper(); return post(root+path, pairs...) }
}

func linkOf(t *testing.T, page string) string {
	t.Helper()
	found := linkOnPage.FindStringSubmatch(page)
	if found == nil {
		t.Fatal("the page shows no link: ", page)
	}
	return found[1]
}

// listed asks for the games of a team until they are as wanted.
func listed(t *testing.T, link string, fits func(body string) bool) string {
	t.Helper()
	address := strings.Replace(link, "/follow/", "/v1/follow/", 1)
	var body string
	for range 600 {
		answer, err := http.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(answer.Body)
		if closing := answer.Body.Close(); err != nil || closing != nil {
			t.Fatal(err, closing)
		}
		if body = string(raw); fits(body) {
			return body
		}
		time.Sleep(100 * time.Millisecond)
	}
	t.Fatal("it never came: ", body)
	return ""
}

// A hub is started, a bench is paired by what the page shows, a family looks, the bench
// goes on while the hub is away, a copy is written and made a hub of, and has the same.
func TestAHubFromTheFirstLinkToTheRestoredCopy(t *testing.T) {
	t.Parallel() // it waits most of its time
	folder := t.TempDir()
	arguments := []string{"hub", "--data", filepath.Join(folder, "hub"), "--listen", "127.0.0.1:0", "--name", "Harbour League"}
	p, out := running(t, arguments...)
	ask := admin(t, out)
	pair := linkOf(t, ask("/admin/bench", "label", "Saltworks Arena"))
	follow := linkOf(t, ask("/admin/team", "label", "Kelp Bay"))
	bench, _ := running(t, "demo", "--moment", "power-play", "--data", filepath.Join(folder, "bench"), "--listen", "127.0.0.1:0", "--hub", pair)
	games, err := bench.store.Ends(t.Context())
	if err != nil || len(games) != 1 {
		t.Fatal(games, err)
	}
	var game string
	for game = range games {
	}
	listed(t, follow, func(body string) bool { return strings.Contains(body, game) })
	shows := func(state string) {
		t.Helper()
		for range 600 {
			if hub, is := bench.paired.State(); is && hub.State == state {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		hub, _ := bench.paired.State()
		t.Fatalf("%+v, want %s", hub, state)
	}
	shows("up_to_date")

	// The hub goes away; the bench goes on; the hub comes back at the same address.
	arguments[4] = p.hub.address[len("http://"):]
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	shot, err := entry.Entry{
		ID: "01JD000000000000000000HUB1", Game: game, Wall: entry.Millis(time.Now().UnixMilli()), Seat: entry.Solo, Body: entry.Shots{Side: entry.Home, Count: 1},
	}.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	answer, err := http.Post("http://"+bench.address.String()+"/api/games/"+game+"/entries", "application/json",
		strings.NewReader(`{"entries":[`+string(shot)+`]}`))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(answer.Body)
	if closing := answer.Body.Close(); err != nil || closing != nil || answer.StatusCode != http.StatusOK {
		t.Fatal(answer.Status, string(raw), err, closing)
	}
	p, _ = running(t, arguments...)
	want := games[game] + 1
	for range 600 {
		if list, err := p.hub.store.Games(t.Context(), p.hub.id); err == nil && len(list) == 1 && list[0].Seq == want {
			break
		}
		time.Sleep(100 * time.Millisecond)
	}
	before, err := p.hub.store.Games(t.Context(), p.hub.id)
	if err != nil || len(before) != 1 || before[0].Seq != want {
		t.Fatalf("%+v, %v, want %d entries", before, err, want)
	}

	saved := filepath.Join(folder, "saved.db")
	must(t, "hub", "backup", saved, "--data", filepath.Join(folder, "hub"))
	if _, failed := command(t, "hub", "backup", saved, "--data", filepath.Join(folder, "hub")); failed == "" {
		t.Error("a copy was written over another one")
	}
	if _, failed := command(t, "hub", "restore", saved, "--data", filepath.Join(folder, "hub")); !strings.Contains(failed, "is a hub in") {
		t.Error(failed)
	}
	restored := filepath.Join(folder, "restored")
	if said := must(t, "hub", "restore", saved, "--data", restored); !strings.Contains(said, fmt.Sprintf("1 games with %d entries", want)) {
		t.Error(said)
	}
	again, _ := running(t, "hub", "--data", restored, "--listen", "127.0.0.1:0")
	after, err := again.hub.store.Games(t.Context(), again.hub.id)
	if err != nil || len(after) != 1 || after[0].Head != before[0].Head {
		t.Errorf("%+v, %v, want %+v", after, err, before)
	}
	if said := must(t, "hub", "link", "--data", restored); !strings.Contains(said, again.hub.address+"/first/") {
		t.Error(said)
	}
}

// A ledger that lies in a file is sent by a command, twice without harm; names stay.
func TestALedgerIsSentFromAFile(t *testing.T) {
	t.Parallel() // it waits most of its time
	folder := t.TempDir()
	p, out := running(t, "hub", "--data", filepath.Join(folder, "hub"), "--listen", "127.0.0.1:0")
	pair := linkOf(t, admin(t, out)("/admin/bench", "label", "office"))
	ledger, err := demo.Ledger("overtime", 1_700_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	var content []byte
	lines := entry.Lines{}
	for _, e := range ledger {
		if content, err = lines.Append(content, e); err != nil {
			t.Fatal(err)
		}
	}
	file := filepath.Join(folder, "game.jsonl")
	if err := os.WriteFile(file, content, 0o600); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if said := must(t, "hub", "send", file, "--to", pair); !strings.Contains(said, fmt.Sprint(len(ledger))) {
			t.Error(said)
		}
	}
	games, err := p.hub.store.Games(t.Context(), p.hub.id)
	if err != nil || len(games) != 1 || games[0].Seq != len(ledger) {
		t.Errorf("%+v, %v", games, err)
	}
	for bad, want := range map[string]string{
		"http://hub.example/pair#abc": "not encrypted", "nonsense": "no link of a hub", p.hub.address + "/pair#abc": "does not know this bench",
	} {
		if _, failed := command(t, "hub", "send", file, "--to", bad); !strings.Contains(failed, want) {
			t.Errorf("%s: %s", bad, failed)
		}
	}
	if _, failed := command(t, "hub", "send", file, "--data", t.TempDir()); !strings.Contains(failed, "paired with no hub") {
		t.Error(failed)
	}
}

func TestTheDemonstrationOfAHub(t *testing.T) {
	t.Parallel() // it waits most of its time
	_, out := running(t, "hub", "demo", "--listen", "127.0.0.1:0")
	body := listed(t, out.find(t, "follow"), func(body string) bool { return strings.Count(body, `"live":true`) == 2 })
	var team struct {
		Association string
		Games       []struct{ Home string }
	}
	if err := json.Unmarshal([]byte(body), &team); err != nil || team.Association != "Harbour League" || team.Games[0].Home != "Kelp Bay" {
		t.Error(body, err)
	}
}

// A browser may open a connection and send nothing on it: the program ends all the same,
// and without an error.
func TestAConnectionThatSaysNothing(t *testing.T) {
	t.Parallel() // it waits most of its time
	var silent net.Conn
	t.Cleanup(func() { // after the end of the program
		if err := silent.Close(); err != nil {
			t.Error(err)
		}
	})
	_, out := running(t, "hub", "--data", t.TempDir(), "--listen", "127.0.0.1:0") // its end is held to be without an error
	address, err := url.Parse(out.find(t, "hub"))
	if err != nil {
		t.Fatal(err)
	}
	if silent, err = net.Dial("tcp", address.Host); err != nil {
		t.Fatal(err)
	}
	answer, err := http.Get(out.find(t, "hub")) // it was accepted before this one
	if err != nil {
		t.Fatal(err)
	}
	if err := answer.Body.Close(); err != nil {
		t.Error(err)
	}
}
