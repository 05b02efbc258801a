package site_test

import (
	"archive/zip"
	"bytes"
	"crypto/ed25519"
	"encoding/json"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/people"
	"whistlestop/record/seal"
)

// another is the game with a further entry.
func (g game) another(t testing.TB, id string, body entry.Body) entry.Entry {
	t.Helper()
	last := g.ledger[len(g.ledger)-1]
	prev, err := last.Hash()
	if err != nil {
		t.Fatal(err)
	}
	return entry.Entry{ID: id, Game: g.id, Seq: last.Seq + 1, Wall: last.Wall + 1000, Seat: entry.Solo, Prev: prev, Body: body}
}

// kept is a game as benches write it now: with commitments in place of names.
func kept(t testing.TB, moment string, at entry.Millis) game {
	t.Helper()
	ledger := played(t, moment, at).ledger
	prev := ""
	for i, e := range ledger {
		e.Prev = prev
		ledger[i] = apart(e)
		var err error
		if prev, err = ledger[i].Hash(); err != nil {
			t.Fatal(err)
		}
	}
	return without(t, ledger)
}

func apart(e entry.Entry) entry.Entry {
	return entry.KeepApart(e, func(text string) []byte { return bytes.Repeat([]byte{byte(len(text))}, entry.RandomBytes) })
}

// noted is the game with a note.
func (g game) noted(t testing.TB, id string, note entry.Note) game {
	t.Helper()
	return without(t, append(g.ledger[:len(g.ledger):len(g.ledger)], apart(g.another(t, id, note))))
}

var benchKey = seal.Key(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{7}, ed25519.SeedSize)))

// sealed is the game with its next seal.
func (g game) sealed(t testing.TB, id string) (game, string) {
	t.Helper()
	body, err := benchKey.Make(g.ledger, "")
	if err != nil {
		t.Fatal(err)
	}
	e, err := benchKey.Sign(g.another(t, id, body))
	if err != nil {
		t.Fatal(err)
	}
	return without(t, append(g.ledger[:len(g.ledger):len(g.ledger)], e)), seal.Fingerprint(e)
}

func (h *hub) as(role people.Role, team string) *browser {
	return &browser{h, h.cookieOf(h.people, people.Membership{Role: role, Team: team})}
}

// A report is sealed, changed, reopened and sealed again, and each is said; an incident
// is listed without a word of what was written.
func TestALeagueReadsReports(t *testing.T) {
	h := newHub(t)
	admin := h.as(people.Admin, "")
	g := kept(t, "third-period", h.clock()).noted(t, "01JD0000000000000000NOTE01", entry.Note{Text: "A stick broke a window.", About: entry.Incident})
	state := func(want string) {
		t.Helper()
		if got := admin.page("/reports"); got.StatusCode != http.StatusOK || !strings.Contains(got.body, `data-game="`+g.id+`" data-state="`+want+`"`) {
			t.Fatalf("want %s: %s %s", want, got.Status, got.body)
		}
	}
	send := func(from int) {
		t.Helper()
		if got := h.send(g, from, len(g.lines)); got.StatusCode != http.StatusOK {
			t.Fatal(got.Status, got.body)
		}
	}
	send(0)
	state("playing")
	if got := admin.post("/reports/reopen", "game", g.id); got.StatusCode != http.StatusUnprocessableEntity {
		t.Errorf("an open report is reopened: %s", got.Status)
	}
	from, first := len(g.lines), ""
	g, first = g.sealed(t, "01JD0000000000000000SEAL01")
	send(from)
	state("sealed")
	page := admin.page("/reports/" + g.id)
	for _, want := range []string{first, "as they were written", "incident", "Nothing came after the newest seal"} {
		if !strings.Contains(page.body, want) {
			t.Errorf("no %q in %s", want, page.body)
		}
	}
	if strings.Contains(page.body, "window") {
		t.Error("the hub tells what was written")
	}
	from = len(g.lines)
	g = g.noted(t, "01JD0000000000000000NOTE02", entry.Note{Text: "A correction."})
	send(from)
	state("amended")
	for _, role := range []people.Role{people.Coordinator, people.Referee} {
		if got := h.as(role, "").post("/reports/reopen", "game", g.id); got.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %s", role, got.Status)
		}
	}
	if got := admin.post("/reports/reopen", "game", g.id); got.StatusCode != http.StatusSeeOther {
		t.Fatal(got.Status, got.body)
	}
	state("reopened")
	if got := admin.page("/log"); !strings.Contains(got.body, "a report was reopened · "+g.id) {
		t.Error(got.body)
	}
	from = len(g.lines)
	g, second := g.sealed(t, "01JD0000000000000000SEAL02")
	if got := h.send(g, from, len(g.lines)); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	state("sealed")
	for paper, want := range map[string]string{
		second: "of version 2, the newest", first: "a newer version replaces it", "AAAA AAAA AAAA AAAA": "of another game", "x": "That is no fingerprint",
	} {
		if got := admin.page("/reports/" + g.id + "?fingerprint=" + url.QueryEscape(paper)); !strings.Contains(got.body, want) {
			t.Errorf("%s: no %q", paper, want)
		}
	}
	for filter, want := range map[string]bool{
		"state=sealed": true, "state=amended": false, "incidents=yes": true, "team=Kelp+Bay": true, "team=Nobody": false, "from=2999-01-01": false, "check=yes": true,
	} {
		got := admin.page("/reports?" + filter)
		if strings.Contains(got.body, `data-game="`+g.id) != want || filter == "check=yes" && !strings.Contains(got.body, ">Holds<") {
			t.Errorf("%s: %s", filter, got.body)
		}
	}
}

// A seal that somebody made up does not hold, and the page says so.
func TestASealThatDoesNotHold(t *testing.T) {
	h := newHub(t)
	g := kept(t, "third-period", h.clock())
	body, err := benchKey.Make(g.ledger, "")
	if err != nil {
		t.Fatal(err)
	}
	body.Signature = strings.Repeat("A", 86) + "=="
	g = without(t, append(g.ledger, g.another(t, "01JD0000000000000000SEAL01", body)))
	if got := h.send(g, 0, len(g.lines)); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	admin := h.as(people.Admin, "")
	if got := admin.page("/reports?check=yes"); !strings.Contains(got.body, "Touched") || strings.Contains(got.body, ">Holds<") {
		t.Error(got.body)
	}
	if got := admin.page("/reports/" + g.id); !strings.Contains(got.body, `class="warn" data-hub="verdict" data-stands="touched"`) {
		t.Error(got.body)
	}
}

// A game in the older form has lines without their names, for which nobody vouches: that
// is said, and is no alarm.
func TestAnOlderLedgerHolds(t *testing.T) {
	h := newHub(t)
	g := played(t, "third-period", h.clock())
	if got := h.send(g, 0, len(g.lines)); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	if got := h.as(people.Admin, "").page("/reports/" + g.id); !strings.Contains(got.body, `class="said" data-hub="verdict" data-stands="older"`) {
		t.Error(got.body)
	}
}

// A manager reads the team's reports, and another association none.
func TestWhoReadsAReport(t *testing.T) {
	h := newHub(t)
	g, _ := kept(t, "third-period", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	if got := h.send(g, 0, len(g.lines)); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	paths := []string{"/reports/" + g.id, "/reports/" + g.id + "/report.csv", "/reports/" + g.id + "/ledger.jsonl"}
	for team, want := range map[string]int{"Kelp Bay": http.StatusOK, "Elsewhere": http.StatusNotFound} {
		manager := h.as(people.Manager, team)
		for _, path := range paths {
			if got := manager.page(path); got.StatusCode != want {
				t.Errorf("%s of %s: %s", path, team, got.Status)
			}
		}
		if got := manager.page("/reports"); strings.Contains(got.body, g.id) != (want == http.StatusOK) {
			t.Errorf("%s: %s", team, got.body)
		}
	}
	if got := h.as(people.Admin, "").page("/reports/" + g.id + "/report.exe"); got.StatusCode != http.StatusNotFound {
		t.Error(got.Status)
	}
	desk, _ := h.second()
	elsewhere := &browser{h, h.cookieOf(desk, people.Membership{Role: people.Admin})}
	for _, path := range paths {
		if got := elsewhere.page(path); got.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %s", path, got.Status)
		}
	}
}

// An archive has each report in every form, the ledger byte for byte and what verifying
// said, and no name.
func TestAnArchiveOfReports(t *testing.T) {
	h := newHub(t)
	g, fingerprint := kept(t, "third-period", h.clock()).sealed(t, "01JD0000000000000000SEAL01")
	if got := h.send(g, 0, len(g.lines)); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	admin := h.as(people.Admin, "")
	if got := admin.post("/reports/archive", "from", "2999-01-01"); got.StatusCode != http.StatusUnprocessableEntity {
		t.Error(got.Status)
	}
	got := admin.post("/reports/archive", "state", "sealed")
	if got.StatusCode != http.StatusOK || got.Header.Get("Content-Type") != "application/zip" {
		t.Fatal(got.Status, got.body)
	}
	archive, err := zip.NewReader(strings.NewReader(got.body), int64(len(got.body)))
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{}
	for _, f := range archive.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		_, base, _ := strings.Cut(f.Name, "/")
		files[base+map[bool]string{true: f.Name}[base == ""]] = raw
	}
	if string(files["ledger.jsonl"]) != strings.Join(g.lines, "") || !bytes.HasPrefix(files["report.pdf"], []byte("%PDF")) ||
		!bytes.HasPrefix(files["report.xlsx"], []byte("PK")) || !json.Valid(files["report.json"]) || len(files["report.csv"]) == 0 {
		t.Errorf("%d files", len(files))
	}
	for name, raw := range files {
		for _, secret := range []string{"Halvard", "Reedy"} {
			if bytes.Contains(raw, []byte(secret)) {
				t.Errorf("%s has a name", name)
			}
		}
	}
	var list []struct {
		Game, State, Fingerprint, Verified string
	}
	if err := json.Unmarshal(files["reports.json"], &list); err != nil || len(list) != 1 || list[0].Game != g.id || list[0].Verified != "holds" ||
		list[0].Fingerprint != fingerprint || list[0].State != "sealed" {
		t.Errorf("%+v %v", list, err)
	}
	if log := admin.page("/log"); !strings.Contains(log.body, "reports were saved to a file") {
		t.Error(log.body)
	}
}
