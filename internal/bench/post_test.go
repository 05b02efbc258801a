package bench

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/locale"
	"whistlestop/internal/store/memory"
)

func TestSameEntryCountsOnce(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15), entry.ClockStarted{})
		drafts := []entry.Entry{
			tb.draft(entry.ClockStopped{Error: 4}),
			tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"}),
		}
		first := tb.send(drafts...)
		for range 50 {
			again := tb.send(drafts...)
			if string(again.JSON()) != string(first.JSON()) || fmt.Sprint(again.Posted) != fmt.Sprint(first.Posted) {
				t.Fatal("the same post was answered in another way")
			}
		}
		if l := tb.ledger(); len(l) != 5 {
			t.Errorf("%d entries, want 5", len(l))
		}
		// A post that was extended keeps what is there and adds the rest.
		more := tb.send(append(drafts, tb.draft(entry.Note{Text: "more"}))...)
		if len(more.Posted) != 3 || more.State.Seq != 6 {
			t.Errorf("posted %v, %d entries", more.Posted, more.State.Seq)
		}
	})
}

func TestOpeningAgainIsTheSameGame(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		if _, err := tb.bench.Open(t.Context(), opening(t)); err != nil {
			t.Error(err)
		}
		other := opening(t)
		other.Home.Name = "Saltworks"
		if _, err := tb.bench.Open(t.Context(), other); !isKind(err, Conflict) {
			t.Errorf("got %v, want a conflict", err)
		}
		if l := tb.ledger(); len(l) != 1 || l[0].ID != gameID {
			t.Errorf("the ledger is %v", l)
		}
	})
}

// Every refusal says what to do, and keeps nothing.
func TestBadPosts(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		known := tb.draft(entry.Note{Text: "known"})
		tb.send(known)
		set := func(change func(*entry.Entry)) func(e entry.Entry) []entry.Entry {
			return func(e entry.Entry) []entry.Entry { change(&e); return []entry.Entry{e} }
		}
		body := func(b entry.Body) func(e entry.Entry) []entry.Entry {
			return set(func(e *entry.Entry) { e.Body = b })
		}
		for _, test := range []struct {
			name  string
			make  func(entry.Entry) []entry.Entry
			kind  Kind
			field string
			says  string
		}{
			{"nothing", func(entry.Entry) []entry.Entry { return nil }, Refused, "entries", "bench.nothing"},
			{"too many", func(e entry.Entry) []entry.Entry { return make([]entry.Entry, 51) }, Refused, "entries", "bench.too_many[{most 50}]"},
			{"one id twice", func(e entry.Entry) []entry.Entry { return []entry.Entry{e, e} }, Refused, "id", "bench.twice"},
			{"known id", set(func(e *entry.Entry) { e.ID = known.ID }), Conflict, "id", "bench.id_taken"},
			{"no ULID", set(func(e *entry.Entry) { e.ID = "7" }), Refused, "id", "26 digits and capital letters"},
			{"other game", set(func(e *entry.Entry) { e.Game = "01JD0000000000000000000009" }), Refused, "source", "bench.other_game"},
			{"program's seat", set(func(e *entry.Entry) { e.Seat = entry.Program }), Refused, "seat", "bench.program_seat"},
			{"unknown seat", set(func(e *entry.Entry) { e.Seat = "roof" }), Refused, "seat", "no seat"},
			{"negative moment", set(func(e *entry.Entry) { e.At.Elapsed = -1 }), Refused, "at.elapsed_ms", "does not exist"},
			{"unknown side", body(entry.Goal{Side: "east"}), Refused, "side", "home or visitors"},
			{"three assists", body(entry.Goal{Side: entry.Home, Assists: []entry.Jersey{"1", "2", "3"}}), Refused, "assists", "at most two"},
			{"negative stop", body(entry.ClockStopped{Elapsed: -5}), Refused, "elapsed_ms", "cannot show"},
			{"negative clock", body(entry.ClockSet{Elapsed: -5}), Refused, "elapsed_ms", "cannot show"},
			{"beyond the period", body(entry.ClockSet{Elapsed: entry.Clock(15, 1)}), Refused, "elapsed_ms", "refused.clock_too_long"},
			{"goal beyond the period", set(func(e *entry.Entry) {
				e.Body, e.At = entry.Goal{Side: entry.Home}, entry.At{Period: 1, Elapsed: entry.Clock(15, 1)}
			}), Refused, "at.elapsed_ms", "refused.outside"},
			{"stop of a stopped clock", body(entry.ClockStopped{}), Refused, "kind", "refused.not_running"},
			{"strike of nothing", set(func(e *entry.Entry) {
				e.Body, e.Of = entry.Struck{}, "01JD0000000000000000000099"
			}), Refused, "of", "refused.unknown_entry"},
			{"opened twice", body(entry.GameOpened{
				Home: entry.Team{Name: "A"}, Visitors: entry.Team{Name: "B"},
			}), Refused, "kind", "refused.opening"},
		} {
			before := len(tb.ledger())
			drafts := test.make(tb.draft(entry.Note{Text: "a note"}))
			_, err := tb.bench.Post(t.Context(), gameID, drafts)
			var p *Problem
			if !errors.As(err, &p) || p.Kind != test.kind || len(p.Refused) != 1 {
				t.Errorf("%s: got %v", test.name, err)
				continue
			}
			r := p.Refused[0]
			text := r.Say.Key + fmt.Sprint(r.Say.Args) + locale.English().Say(r.Say)
			if r.Field != test.field || !strings.Contains(text, test.says) {
				t.Errorf("%s: field %q, says %q, want %q and %q", test.name, r.Field, text, test.field, test.says)
			}
			if after := len(tb.ledger()); after != before {
				t.Errorf("%s: %d entries were kept", test.name, after-before)
			}
		}
	})
}

func TestOneBadDraftKeepsAllOut(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		drafts := []entry.Entry{
			tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"}),
			tb.draft(entry.ClockStopped{}), // it does not run
		}
		if _, err := tb.bench.Post(t.Context(), gameID, drafts); !isKind(err, Refused) {
			t.Fatalf("got %v", err)
		}
		if l := tb.ledger(); len(l) != 2 {
			t.Errorf("%d entries, want 2", len(l))
		}
		// The one that was good may be posted alone, with its id.
		tb.send(drafts[0])
	})
}

func TestPreviewChangesNothing(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(period(1, 15))
		preview, err := tb.bench.Preview(t.Context(), gameID, []entry.Entry{tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})})
		if err != nil || len(preview.Refused) > 0 || preview.State.Teams[0].Score != 1 || len(preview.Says) == 0 {
			t.Errorf("got %+v, %v", preview, err)
		}
		if s := tb.state(); s.Teams[0].Score != 0 || s.Seq != 2 {
			t.Errorf("the score is %d after %d entries", s.Teams[0].Score, s.Seq)
		}
	})
}

func TestNoSuchGame(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		for _, id := range []string{"", "x", "../etc", "01JD0000000000000000000009"} {
			if _, err := tb.bench.State(t.Context(), id); !isKind(err, Missing) {
				t.Errorf("state of %q: %v", id, err)
			}
			if _, err := tb.bench.Watch(t.Context(), id); !isKind(err, Missing) {
				t.Errorf("watch of %q: %v", id, err)
			}
		}
		bad := opening(t)
		bad.ID = "x"
		if _, err := tb.bench.Open(t.Context(), bad); !isKind(err, Refused) {
			t.Errorf("open: %v", err)
		}
	})
}

// faultyLog fails appends on demand: before anything is kept, after everything
// is, or with a panic; and loads.
type faultyLog struct {
	Log
	append, load string
}

var errDisk = errors.New("the disk is full")

func (l *faultyLog) Append(ctx context.Context, game string, entries []entry.Entry) error {
	switch l.append {
	case "before":
		return errDisk
	case "after":
		if err := l.Log.Append(ctx, game, entries); err != nil {
			return err
		}
		return errDisk
	case "panic":
		panic("broken")
	}
	return l.Log.Append(ctx, game, entries)
}

func (l *faultyLog) Load(ctx context.Context, game string) ([]entry.Entry, error) {
	if l.load != "" {
		return nil, errDisk
	}
	return l.Log.Load(ctx, game)
}

func TestFailedAppend(t *testing.T) {
	for _, test := range []struct {
		how  string
		kind Kind
	}{{"before", Unavailable}, {"after", Unavailable}, {"panic", Faulty}} {
		t.Run(test.how, func(t *testing.T) {
			log := &faultyLog{Log: memory.New()}
			tb := sit(t, log)
			tb.post(period(1, 15))
			goal := tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})
			log.append = test.how
			if _, err := tb.bench.Post(t.Context(), gameID, []entry.Entry{goal}); !isKind(err, test.kind) {
				t.Fatalf("got %v", err)
			}
			// While the log cannot be read, nothing is shown as fact.
			log.append, log.load = "", "fails"
			if _, err := tb.bench.State(t.Context(), gameID); !isKind(err, Unavailable) {
				t.Errorf("state: %v", err)
			}
			log.load = ""
			reply := tb.send(goal)
			if reply.State.Teams[0].Score != 1 || reply.State.Seq != 3 {
				t.Errorf("after sending it again: score %d, %d entries", reply.State.Teams[0].Score, reply.State.Seq)
			}
			if err := entry.VerifyChain(tb.ledger()); err != nil {
				t.Error(err)
			}
		})
	}
}

func TestGames(t *testing.T) {
	log := &faultyLog{Log: memory.New()}
	tb := sit(t, log)
	second := opening(t)
	second.ID, second.Venue = "01JD000000000000000000GAME", "Saltworks Arena"
	if _, err := tb.bench.Open(t.Context(), second); err != nil {
		t.Fatal(err)
	}
	tb.post(period(1, 15))
	tb.post(entry.Goal{Side: entry.Visitors, Scorer: "9"})
	check := func(when string) {
		t.Helper()
		titles, err := tb.bench.Games(t.Context())
		if err != nil || len(titles) != 2 {
			t.Fatalf("%s: %v, %v", when, titles, err)
		}
		for _, title := range titles {
			want := Title{
				ID: title.ID, Home: "Kelp Bay", Visitors: "Lanternside", Division: "Under 14",
				Opened: title.Opened, Stage: entry.Stage{Kind: entry.Setup}, Seq: 1,
			}
			if title.ID == gameID {
				want.Seq = 3
				want.Score, want.Stage = [2]int{0, 1}, entry.Stage{Kind: entry.Period, Number: 1}
			} else {
				want.Venue = "Saltworks Arena"
			}
			if title != want || title.Opened == 0 {
				t.Errorf("%s: %+v, want %+v", when, title, want)
			}
		}
	}
	check("live")
	tb.restart()
	check("after a restart")
	check("from memory")
	tb.restart()
	log.load = "fails"
	titles, err := tb.bench.Games(t.Context())
	if err != nil || len(titles) != 2 || !titles[0].Damaged {
		t.Errorf("damaged games: %+v, %v", titles, err)
	}
}

// TestRefusedStaysRefused: a post that the network delivers once more, when the
// game would take it by now, is refused as before: its person was told so.
func TestRefusedStaysRefused(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		early := tb.draft(entry.Goal{Side: entry.Home, Scorer: "7"})
		_, first := tb.bench.Post(t.Context(), gameID, []entry.Entry{early})
		if !isKind(first, Refused) {
			t.Fatalf("got %v, want a refusal: no period has begun", first)
		}
		tb.post(period(1, 15))
		if _, again := tb.bench.Post(t.Context(), gameID, []entry.Entry{early}); !errors.Is(again, first) {
			t.Errorf("got %v, want the same refusal again", again)
		}
		anew := early
		anew.ID = tb.draft(entry.Note{Text: "for its id"}).ID
		tb.send(anew)
		// The same entry in other words is a new post.
		early.Body = entry.Goal{Side: entry.Home, Scorer: "8"}
		tb.send(early)
		if l := tb.ledger(); len(l) != 4 {
			t.Errorf("%d entries, want 4", len(l))
		}
	})
}

func TestRefusalsAreForgottenInTheEnd(t *testing.T) {
	var r turnedDown
	no := refuse("x", "", say("bench.nothing"))
	of := func(text string) []entry.Entry { return []entry.Entry{{ID: "x", Body: entry.Note{Text: text}}} }
	for i := range refusedMost + 10 {
		r.note(of(fmt.Sprint(i)), no)
	}
	if len(r.why) != refusedMost || r.of(of("9")) != nil || r.of(of("10")) == nil {
		t.Errorf("%d refusals are remembered", len(r.why))
	}
	r.note(of("new"), problem(Unavailable, nil, "bench.busy"))
	if r.of(of("new")) != nil {
		t.Error("a post that may be tried again counts as refused")
	}
}
