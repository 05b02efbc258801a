package site_test

import (
	"archive/zip"
	"bytes"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/people"
	"whistlestop/record/seal"
)

// older is a game as programs of before wrote it: names are inside its lines, and the
// device's in the seal's.
func older(t testing.TB, h *hub) (g game, fingerprint string) {
	t.Helper()
	ledger := over(t, "third-period", firstGame, "u14-1", "Kelp Bay", "Lanternside", h.clock()).ledger
	prev := ""
	for i := range ledger {
		ledger[i] = ledger[i].Plain()
		ledger[i].Prev = prev
		var err error
		if prev, err = ledger[i].Hash(); err != nil {
			t.Fatal(err)
		}
	}
	g = game{id: firstGame, ledger: ledger}
	body, err := benchKey.Make(ledger, "")
	if err != nil {
		t.Fatal(err)
	}
	e := g.another(t, "01JD0000000000000000SEAL01", body)
	e.By = "Halvard's laptop"
	if e, err = benchKey.Sign(e); err != nil {
		t.Fatal(err)
	}
	g.ledger = append(g.ledger, e)
	for _, e := range g.ledger {
		raw, err := e.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		g.lines = append(g.lines, string(raw)+"\n")
	}
	return g, seal.Fingerprint(e)
}

// textsOf are all texts about people in a ledger.
func textsOf(g game) (texts []string) {
	for _, e := range g.ledger {
		entry.MapTexts(e, func(_ entry.Text, text string) string {
			if len(text) > 3 {
				texts = append(texts, text)
			}
			return text
		})
	}
	return texts
}

// stored is all that the hub has on its disk.
func (h *hub) stored() []byte {
	h.t.Helper()
	file := filepath.Join(h.t.TempDir(), "copy.db")
	if err := h.store.BackUp(h.t.Context(), file); err != nil {
		h.t.Fatal(err)
	}
	raw, err := os.ReadFile(file)
	if err != nil {
		h.t.Fatal(err)
	}
	return raw
}

// What an association decides about ledgers of before: refused, until somebody who may
// change settings says otherwise; then every line is read as it was hashed, and nothing of
// a person is kept; the report holds, and says what stands there.
func TestLedgersOfBeforeByDecision(t *testing.T) {
	h := newHub(t)
	g, fingerprint := older(t, h)
	texts := textsOf(g)
	if len(texts) < 20 || !slices.Contains(texts, "Halvard's laptop") {
		t.Fatal(texts)
	}
	send := func() answer {
		h.later(30_000)
		return h.asBench("POST", entriesPath(g, 1), strings.Join(g.lines, ""))
	}
	head := func() string { return h.asBench("GET", "/v1/ledgers/"+g.id, "").body }
	if p := send().no(t, http.StatusUnprocessableEntity, "refused"); p.Line != 1 || !strings.Contains(p.Detail, "a hub keeps none") {
		t.Errorf("%+v", p)
	}
	if strings.Contains(head(), `"older":true`) {
		t.Error("a bench is asked for lines that are refused")
	}
	for _, role := range []people.Role{people.Coordinator, people.Referee, people.Volunteer} {
		if got := h.as(role, "").post("/admin/older", "older", "with"); got.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %s", role, got.Status)
		}
	}
	admin := h.as(people.Admin, "")
	if got := admin.post("/admin/older", "older", "something"); got.StatusCode != http.StatusUnprocessableEntity {
		t.Error(got.Status)
	}
	if page := admin.page("/admin"); !strings.Contains(page.body, `data-older="refuse"`) {
		t.Error(page.body)
	}
	admin.post("/admin/older", "older", "without")
	if page := admin.page("/admin"); !strings.Contains(page.body, `data-older="without"`) || !strings.Contains(page.body, "games from older programs are taken · without") {
		t.Error("neither page nor log says what was decided")
	}
	if got := head(); !strings.Contains(got, `"older":true`) || strings.Contains(got, "older_names") {
		t.Error(got)
	}
	for range 2 { // the same again is there
		if got := send().head(t); got.Seq != len(g.lines) || got.Forked {
			t.Errorf("%+v", got)
		}
	}
	raw := h.stored()
	for _, text := range texts {
		if bytes.Contains(raw, []byte(text)) {
			t.Errorf("%q is kept", text)
		}
	}
	page := admin.page("/reports/" + g.id + "?fingerprint=" + strings.ReplaceAll(fingerprint, " ", "+"))
	for _, want := range []string{`data-stands="holds"`, "are of an older form: 1,", "of version 1, the newest", fingerprint} {
		if !strings.Contains(page.body, want) {
			t.Errorf("no %q in %s", want, page.body)
		}
	}
	got := admin.post("/reports/archive", "state", "sealed")
	archive, err := zip.NewReader(strings.NewReader(got.body), int64(len(got.body)))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{"reports.json": `"without_names": `, "verified.json": `"without_names_here": [`} {
		at := slices.IndexFunc(archive.File, func(f *zip.File) bool { return strings.HasSuffix(f.Name, name) })
		in, err := archive.File[at].Open()
		if err != nil {
			t.Fatal(err)
		}
		if raw, err := io.ReadAll(in); err != nil || !strings.Contains(string(raw), want) || strings.Contains(string(raw), want+"0") {
			t.Errorf("%s: %s, %v", name, raw, err)
		}
	}
	// A fork is found by what was hashed.
	last := g.ledger[len(g.ledger)-2]
	last.ID, last.Wall = "01JD000000000000000000FRK1", last.Wall+1
	line, err := last.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	h.later(30_000)
	h.asBench("POST", entriesPath(g, 1), string(line)+"\n").no(t, http.StatusConflict, "fork")
	// A decision that is taken back is one: what came stays, and nothing more comes.
	admin.post("/admin/older", "older", "refuse")
	other := over(t, "third-period", secondGame, "u14-2", "Millrace", "Kelp Bay", h.clock())
	plain, err := other.ledger[0].Plain().MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	h.asBench("POST", entriesPath(other, 1), string(plain)+"\n").no(t, http.StatusUnprocessableEntity, "refused")
}

// With names, by decision: those of players are kept apart from the lines, where they may
// be shown; they go when a bench withdraws one, and when the decision is taken back.
func TestNamesOfLedgersOfBefore(t *testing.T) {
	h := newHub(t)
	h.seasons.files.league = []byte(strings.Replace(harbourLeague, `age = "youth"`, `age = "adult"`, 1))
	h.seasons.files.schedule = harbourSchedule("2023-11-10")
	admin := h.as(people.Admin, "")
	admin.post("/admin/switch", "switch", "tables", "on", "yes")
	link := h.issue(office.Team, "Kelp Bay")
	g, _ := older(t, h)
	_, name := somebody(t, g)
	put := func() answer { return h.putNames(g, g.lines[0]) }
	shown := func(want bool) {
		t.Helper()
		h.later(seasonLater)
		for view, body := range h.everywhere(g, link) {
			if strings.Contains(body, name) != want {
				t.Errorf("%s: the name is shown: %v", view, !want)
			}
		}
		if got := bytes.Contains(h.stored(), []byte(name)); got != want {
			t.Errorf("the name is kept: %v", got)
		}
	}
	admin.post("/admin/older", "older", "without")
	h.sendAll(g, 0)
	put().no(t, http.StatusUnprocessableEntity, "refused")
	shown(false)
	admin.post("/admin/older", "older", "with")
	if got := h.asBench("GET", "/v1/ledgers/"+g.id, "").body; !strings.Contains(got, `"older_names":true`) || !strings.Contains(got, `"names":true`) {
		t.Fatal(got)
	}
	h.putNames(g, strings.Replace(g.lines[0], name, "Somebody Else", 1)).no(t, http.StatusUnprocessableEntity, "refused")
	shown(false)
	if got := put(); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	shown(true)
	for _, kept := range must(h.store.Lines(t.Context(), where(g), 0, 1000)) {
		if bytes.Contains(kept.Bytes, []byte(name)) {
			t.Error("a line has the name")
		}
	}
	for _, one := range textsOf(g) { // of nobody but players
		if strings.HasPrefix(one, "Halvard's") && bytes.Contains(h.stored(), []byte(one)) {
			t.Errorf("%q is kept", one)
		}
	}
	if theirs, err := h.store.Names(t.Context(), ledgers.Where{Association: "elsewhere", Game: g.id}); err != nil || len(theirs) != 0 {
		t.Error(theirs, err)
	}
	admin.post("/admin/older", "older", "without")
	shown(false)
	admin.post("/admin/older", "older", "with")
	if got := put(); got.StatusCode != http.StatusOK {
		t.Fatal(got.Status, got.body)
	}
	shown(true)
	// The bench takes a name out: it writes the line anew and says so.
	instead, err := entry.Withdraw(g.ledger[0], func(text string) []byte { return bytes.Repeat([]byte{byte(len(text))}, entry.RandomBytes) })
	if err != nil {
		t.Fatal(err)
	}
	body, err := benchKey.Withdrawal([]string{instead.Names()[0].Commitment}, []entry.Entry{instead})
	if err != nil {
		t.Fatal(err)
	}
	e, err := benchKey.SignWithdrawal(g.another(t, "01JD0000000000000000GONE01", body))
	if err != nil {
		t.Fatal(err)
	}
	g.ledger = append(g.ledger, e)
	raw, err := e.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	g.lines = append(g.lines, string(raw)+"\n")
	h.sendAll(g, len(g.lines)-1)
	shown(false)
	if got := put(); got.StatusCode != http.StatusOK { // by a bench that has an older copy
		t.Fatal(got.Status, got.body)
	}
	shown(false)
}

func must[T any](value T, err error) T {
	if err != nil {
		panic(err)
	}
	return value
}
