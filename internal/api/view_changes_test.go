package api

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/changes"
	"whistlestop/internal/demo"
	"whistlestop/internal/store/memory"
)

// TestEveryViewGrowsAsItWould: a seat's view that goes on from the one before is
// the view of the whole state, with notes that others put something else in
// place of, and strikes.
func TestEveryViewGrowsAsItWould(t *testing.T) {
	ledger, err := demo.Ledger("third-period", 1_790_000_000_000)
	if err != nil {
		t.Fatal(err)
	}
	id := ledger[0].Game
	log := memory.New()
	live := bench.New(log, bench.SteadyClock(), bench.ULIDs(), slog.New(slog.NewTextHandler(io.Discard, nil)))
	defer live.Close()
	ctx := context.Background()
	if err := log.Append(ctx, id, ledger[:1]); err != nil {
		t.Fatal(err)
	}
	views := []View{public, {All: true}}
	for _, seat := range []entry.Seat{entry.ClockSeat, entry.BoxSeat, entry.ShotsSeat, entry.VoiceSeat, entry.BookSeat} {
		views = append(views, View{Seat: seat})
	}
	chain := map[View]*changes.Doc{}
	look := func(u bench.Update) {
		for i, v := range views {
			if (u.State.Seq+i)%3 == 0 {
				continue // a view that nobody looks at for a while
			}
			doc, err := v.doc(chain[v], u)
			if err != nil {
				t.Fatal(err)
			}
			want, err := json.Marshal(v.state(u.State))
			if err != nil || string(doc.Whole()) != string(want) {
				t.Fatalf("after %d entries the view %+v is not that of the whole (%v)", u.State.Seq, v, err)
			}
			chain[v] = doc
		}
	}
	n := 0
	draft := func(seat entry.Seat, of string, body entry.Body) entry.Entry {
		n++
		return entry.Entry{ID: fmt.Sprintf("01JDXX%020d", n), Game: id, Wall: live.Now(), Seat: seat, Of: of, Body: body, At: entry.At{Period: 1}}
	}
	post := func(e entry.Entry) string {
		reply, err := live.Post(ctx, id, []entry.Entry{e})
		if err != nil {
			t.Fatal(err)
		}
		look(reply.Update)
		return e.ID
	}
	note := post(draft(entry.BoxSeat, "", entry.Note{Text: "By the box.", About: entry.Remark}))
	first := post(draft(entry.BoxSeat, note, entry.Amended{To: entry.Note{Text: "By the box again."}}))
	other := post(draft(entry.BookSeat, first, entry.Amended{To: entry.Note{Text: "By the book."}}))
	post(draft(entry.Solo, other, entry.Struck{Reason: "Not so."}))
	post(draft(entry.Solo, "", entry.RosterSet{Side: entry.Home, Team: entry.Team{Name: strings.Repeat("Millrace", 2), Players: []entry.Player{{Number: "3", Name: "A Name"}}}}))
	post(draft(entry.BookSeat, "", entry.RosterConfirmed{Side: entry.Home, By: "A Coach"}))
	for range 10 {
		post(draft(entry.ShotsSeat, "", entry.Note{Text: "More."}))
	}
}
