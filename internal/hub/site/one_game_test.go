package site_test

import (
	"html"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"whistlestop/internal/hub/office"
)

// forOneGame pairs a device for one game as an admin does, and returns its secret.
func (b *browser) forOneGame(day string) string {
	b.t.Helper()
	page := b.post("/admin/bench", "label", "A phone", "day", day, "games", "one")
	link := shownLink.FindStringSubmatch(page.body)
	if link == nil || !strings.Contains(page.body, "for one game only") {
		b.t.Fatal(page.Status, page.body)
	}
	return strings.TrimPrefix(html.UnescapeString(link[1]), "/pair#")
}

// another is the same game by another id.
func another(t *testing.T, g game, id string) game {
	t.Helper()
	prev := ""
	for i := range g.ledger {
		g.ledger[i].Game, g.ledger[i].Prev = id, prev
		hash, err := g.ledger[i].Hash()
		if err != nil {
			t.Fatal(err)
		}
		prev = hash
	}
	return without(t, g.ledger)
}

const nextGame = "01JD0000000000000000GAME07"

func TestABenchForOneGame(t *testing.T) {
	h := newHub(t)
	admin := h.signIn()
	day := time.UnixMilli(int64(h.clock())).UTC().Format(time.DateOnly)
	if got := admin.post("/admin/bench", "label", "A phone", "games", "one"); got.StatusCode != http.StatusUnprocessableEntity || !strings.Contains(got.body, "needs the day") {
		t.Errorf("without a day: %s %s", got.Status, got.body)
	}
	season := h.bench
	h.bench = admin.forOneGame(day)
	first, second := played(t, "third-period", h.clock()), another(t, played(t, "power-play", h.clock()), nextGame)
	if page := admin.page("/admin").body; !strings.Contains(page, "For one game only: not sent yet.") {
		t.Error("the page does not say that nothing was sent")
	}
	names := func(g game) answer { return h.asBench("PUT", "/v1/ledgers/"+g.id+"/names", "{}\n") }
	if p := names(first).no(t, http.StatusForbidden, "one_game"); !strings.Contains(p.Detail, "send the game first") {
		t.Error(p.Detail)
	}
	// What cannot be read is no game that was sent.
	h.asBench("POST", entriesPath(second, 1), "{}\n").no(t, http.StatusUnprocessableEntity, "refused")
	for _, g := range []game{first, second} {
		if got := h.asBench("GET", "/v1/ledgers/"+g.id, ""); !strings.Contains(got.body, `"one_game":"first"`) {
			t.Error(got.body)
		}
	}
	h.send(first, 0, 5).head(t)
	h.send(first, 5, len(first.lines)).head(t)
	if got := h.asBench("GET", "/v1/ledgers/"+first.id, ""); got.head(t).Seq != len(first.lines) || !strings.Contains(got.body, `"one_game":"this"`) {
		t.Error(got.body)
	}
	for name, got := range map[string]answer{
		"entries": h.send(second, 0, 3), "head": h.asBench("GET", "/v1/ledgers/"+second.id, ""), "names": names(second),
		"hashes": h.asBench("GET", "/v1/ledgers/"+second.id+"/hashes?at=1", ""),
	} {
		p := got.no(t, http.StatusForbidden, "one_game")
		if !strings.Contains(p.Detail, "Kelp Bay – ") || !strings.Contains(got.body, `"game":"`+first.id+`","called":"Kelp Bay – `) {
			t.Errorf("%s: %s", name, got.body)
		}
	}
	if kept, err := h.store.Lines(t.Context(), where(second), 0, 10); err != nil || len(kept) != 0 {
		t.Errorf("%d lines of the other game, %v", len(kept), err)
	}
	if page := admin.page("/admin").body; !strings.Contains(page, "For one game only: Kelp Bay – ") || !strings.Contains(page, "a bench for one game sent its game") {
		t.Error("the page does not say for which game the bench is")
	}
	// Other benches send what they like, also that game.
	h.bench = season
	h.send(second, 0, 3).head(t)
	if got := h.asBench("GET", "/v1/ledgers/"+first.id, ""); strings.Contains(got.body, "one_game") {
		t.Error(got.body)
	}
	// A day after the day of the game nothing comes in.
	h.bench = admin.forOneGame(day)
	h.later(61 * 3600_000)
	h.send(first, 0, 5).no(t, http.StatusUnauthorized, "not_here")
}

// Two devices with one link send at one moment: one game is kept, the other device is told.
func TestTwoDevicesWithALinkForOneGame(t *testing.T) {
	h := newHub(t)
	secret, _, err := h.office.IssueOneGame(t.Context(), "A phone", 3600_000, office.By{Who: "test"})
	if err != nil {
		t.Fatal(err)
	}
	h.bench = secret
	games := []game{played(t, "third-period", h.clock()), another(t, played(t, "power-play", h.clock()), nextGame)}
	var group sync.WaitGroup
	answers := make([]answer, len(games))
	for i, g := range games {
		group.Go(func() { answers[i] = h.send(g, 0, 5) })
	}
	group.Wait()
	won, lost := 0, 1
	if answers[0].StatusCode != http.StatusOK {
		won, lost = 1, 0
	}
	answers[won].head(t)
	if p := answers[lost].no(t, http.StatusForbidden, "one_game"); !strings.Contains(answers[lost].body, `"game":"`+games[won].id+`"`) {
		t.Errorf("%+v", p)
	}
	for i, want := range map[int]int{won: 5, lost: 0} {
		if kept, err := h.store.Lines(t.Context(), where(games[i]), 0, 10); err != nil || len(kept) != want {
			t.Errorf("%d lines, want %d, %v", len(kept), want, err)
		}
	}
}
