package web_test

import (
	"context"
	"encoding/json"
	"log/slog"
	"net/http"
	"testing"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/bench"
	"whistlestop/internal/store/memory"
)

// aheadClock is of a computer whose date is wrong by a year.
type aheadClock struct{ bench.Clock }

func (c aheadClock) Now() entry.Millis { return c.Clock.Now() + 365*24*3600_000 }

// putAhead puts a game whose clock runs, a year from now, among the ledgers.
func putAhead(t *testing.T, log bench.Log) {
	t.Helper()
	b := bench.New(log, aheadClock{bench.SteadyClock()}, bench.ULIDs(), slog.New(slog.DiscardHandler))
	defer b.Close()
	_, err := b.Open(t.Context(), bench.Opening{
		ID: otherID, Division: rulebook.Divisions()[0], Home: entry.Team{Name: "Millrace"}, Visitors: entry.Team{Name: "Northmole"},
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, body := range []entry.Body{
		entry.StageBegun{Stage: entry.Stage{Kind: entry.Period, Number: 1}, Length: entry.Clock(12, 0)}, entry.ClockStarted{},
	} {
		draft := entry.Entry{ID: nextID(), Game: otherID, Wall: b.Now(), Seat: entry.Solo, Body: body}
		if _, err := b.Post(t.Context(), otherID, []entry.Entry{draft}); err != nil {
			t.Fatal(err)
		}
	}
}

// T5: a stranger who looks at a game that is dated ahead changes nothing of the
// game that is played: not its clock, not its entries, not who sits at it.
func TestT5_AStrangerMovesNoTime(t *testing.T) {
	log := memory.New()
	putAhead(t, log)
	s := serverOver(t, built, log)
	token := pair(t, s, `{"seat":"clock"}`)
	begun := entryJSON(nextID(), "stage_begun", `{"stage":{"kind":"period","number":1},"length_ms":900000}`)
	if answer := do(s, post(entryURL, entries(begun, entryJSON(nextID(), "clock_started", `{"elapsed_ms":0}`)))); answer.Code != http.StatusOK {
		t.Fatal(answer.Body)
	}
	snapshot := func(path string, as string) (state struct {
		Seq   int         `json:"seq"`
		Clock rules.Clock `json:"clock"`
	}, now entry.Millis) {
		t.Helper()
		answer := do(s, fromPhone(get(path), as))
		shown := struct {
			State any           `json:"state"`
			Now   *entry.Millis `json:"now_ms"`
		}{&state, &now}
		if err := json.Unmarshal(answer.Body.Bytes(), &shown); err != nil {
			t.Fatalf("%s: %d %v %s", path, answer.Code, err, answer.Body)
		}
		return state, now
	}
	started := time.Now() // before the bench's own reading: whatever is in between counts as passed
	before, began := snapshot(gamePath, token)
	other := "/api/games/" + otherID
	if ahead, _ := snapshot(other, ""); ahead.Clock.Running || ahead.Clock.Doubt == nil {
		t.Errorf("the game that is dated ahead shows its clock as a fact: %+v", ahead.Clock)
	}
	for _, path := range []string{"/api/games", other, other + "/slot", other + "/ledger.jsonl", other + "/report", "/wall/" + otherID, "/follow/" + otherID} {
		do(s, fromPhone(get(path), ""))
	}
	ctx, leave := context.WithCancel(t.Context())
	leave() // the stream is opened, and the stranger gone
	do(s, fromPhone(get(other+"/stream").WithContext(ctx), ""))
	ledger := do(s, get(other+"/ledger.jsonl")).Body.String()
	if answer := do(s, fromPhone(post("/api/restore", ledger), "")); answer.Code < 400 {
		t.Errorf("a stranger restores: %d %s", answer.Code, answer.Body)
	}
	after, now := snapshot(gamePath, token)
	if after.Seq != before.Seq || after.Clock != before.Clock || !after.Clock.Running {
		t.Errorf("the clock was %+v and is %+v", before.Clock, after.Clock)
	}
	if passed, truly := now-began, entry.Millis(time.Since(started).Milliseconds()); passed > truly+5 {
		t.Errorf("the bench's time went on by %d ms in %d ms", passed, truly)
	}
	if answer := do(s, fromPhone(post(entryURL, entries(entryJSON(nextID(), "clock_stopped", `{"elapsed_ms":0}`))), token)); answer.Code != http.StatusOK {
		t.Errorf("the seat is gone: %d %s", answer.Code, answer.Body)
	}
}
