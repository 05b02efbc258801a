package site_test

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
)

// followLog holds a saved log against its own hashes.
func followLog(t *testing.T, text string) (lines int) {
	t.Helper()
	prev := ""
	for raw := range strings.Lines(text) {
		var l struct {
			Seq                                 int
			At                                  entry.Millis `json:"at_ms"`
			Who, What, Object, From, Prev, Hash string
		}
		if err := json.Unmarshal([]byte(raw), &l); err != nil {
			t.Fatal(err)
		}
		line := office.Logged{Seq: l.Seq, Note: ledgers.Note{At: l.At, Who: l.Who, What: l.What, Object: l.Object, From: l.From}, Prev: l.Prev, Hash: l.Hash}
		if l.Prev != prev || line.Sum() != l.Hash || strings.Contains(raw, "Robin") {
			t.Fatalf("line %d does not follow: %s", l.Seq, raw)
		}
		prev = l.Hash
		lines++
	}
	return lines
}

func TestTheWholeLog(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	for range 230 {
		if err := h.store.Note(t.Context(), association, ledgers.Note{At: h.clock(), Who: "test", What: "backed_up"}); err != nil {
			t.Fatal(err)
		}
	}
	shown, path := 0, "/log"
	for range 10 {
		page := admin.page(path).body
		lines := strings.Count(page, "<li>")
		if shown += lines; lines == 0 || lines > 100 {
			t.Fatalf("%s: %d lines", path, lines)
		}
		_, rest, more := strings.Cut(page, `href="/log?before=`)
		if !more {
			break
		}
		before, _, _ := strings.Cut(rest, `"`)
		path = "/log?before=" + before
	}
	_, newest, err := h.store.LogEnds(t.Context(), association)
	if err != nil || shown != newest {
		t.Errorf("%d lines are shown of %d, %v", shown, newest, err)
	}
	if page := admin.page("/log?before=" + strings.Repeat("9", 30)); page.StatusCode != http.StatusOK || !strings.Contains(page.body, "Robin Ashdown") && !strings.Contains(page.body, "<li>") {
		t.Error(page.Status)
	}
	file := admin.post("/log")
	if file.Header.Get("Content-Disposition") != `attachment; filename="log.jsonl"` || followLog(t, file.body) != newest+1 {
		t.Error(file.Header)
	}
}

func TestEverythingIsTakenAlong(t *testing.T) {
	h := newHub(t)
	g := played(t, "power-play", h.clock())
	h.send(g, 0, len(g.lines)).head(t)
	other := g.and(t, 5, "01JD000000000000000000N0TE")
	h.asBench("POST", entriesPath(other, 1), strings.Join(other.lines[:6], "")).no(t, http.StatusConflict, "fork")
	admin := h.signIn()
	h.second() // what is another association's is not in it
	got := admin.post("/export")
	archive, err := zip.NewReader(strings.NewReader(got.body), int64(len(got.body)))
	if err != nil {
		t.Fatal(got.Status, err)
	}
	files := map[string]string{}
	for _, f := range archive.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		files[f.Name] = string(raw)
	}
	if files["games/"+g.id+".jsonl"] != strings.Join(g.lines, "") || !strings.HasSuffix(files["games/"+g.id+"-branch-1.jsonl"], other.lines[5]) || len(files) != 4 {
		t.Errorf("%d files", len(files))
	}
	if lines := followLog(t, files["log.jsonl"]); lines < 4 {
		t.Errorf("%d lines", lines)
	}
	all := files["association.json"]
	for _, want := range []string{"Robin Ashdown", "Harbour League", "Saltworks Arena"} {
		if !strings.Contains(all, want) {
			t.Errorf("%s is not in it", want)
		}
	}
	for _, secret := range []string{h.bench, office.HashOf(h.bench), admin.cookie.Value, office.HashOf(admin.cookie.Value), "Elsewhere"} {
		if strings.Contains(all, secret) || bytes.Contains([]byte(got.body), []byte(secret)) {
			t.Error("a secret, or somebody else's, is in it")
		}
	}
}

func TestSomebodyIsDeletedByPages(t *testing.T) {
	h := newHub(t)
	told := 0
	c := h.site.Config
	c.Forgot = func() { told++ }
	h.server.Config.Handler = siteOf(t, c)
	admin := h.signIn()
	helper := &browser{h, h.cookieOf(h.people, people.Membership{Role: people.Volunteer})}
	mine := helper.post("/me/export")
	if mine.StatusCode != http.StatusOK || !strings.Contains(mine.body, "Alex Marlowe") || strings.Contains(mine.body, "Robin") {
		t.Error(mine.Status, mine.body)
	}
	if got := helper.post("/people/forget", "id", "none"); got.StatusCode != http.StatusGone {
		t.Error(got.Status)
	}
	if got := helper.post("/me/forget"); got.StatusCode != http.StatusOK || !strings.Contains(got.body, "You are deleted here") {
		t.Error(got.Status, got.body)
	}
	if got := helper.page("/me"); got.StatusCode != http.StatusForbidden {
		t.Error(got.Status)
	}
	other := &browser{h, h.cookieOf(h.people, people.Membership{Role: people.Volunteer})}
	page := admin.page("/people").body
	_, rest, found := strings.Cut(page, `action="/people/forget"`)
	id := idInForm.FindStringSubmatch(rest)
	if !found || id == nil || strings.Count(page, `action="/people/forget"`) != 1 {
		t.Fatal(page)
	}
	if got := admin.post("/people/forget", "id", id[1]); got.StatusCode != http.StatusSeeOther {
		t.Error(got.Status, got.body)
	}
	if got := other.page("/me"); got.StatusCode != http.StatusForbidden {
		t.Error(got.Status)
	}
	for _, path := range []string{"/people", "/admin", "/log"} {
		if strings.Contains(admin.page(path).body, "Alex Marlowe") {
			t.Errorf("%s names who was deleted", path)
		}
	}
	if got := admin.post("/me/forget"); got.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("the last admin: %s", got.Status)
	}
	if told != 2 {
		t.Errorf("told %d times", told)
	}
	h.later(20 * 60_000)
	stale := admin.post("/me/export")
	if stale.StatusCode != http.StatusForbidden || admin.post("/me/forget").StatusCode != http.StatusForbidden {
		t.Error(stale.Status)
	}
}
