package bench

import (
	"context"
	"encoding/json"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"whistlestop/game/card"
	"whistlestop/game/entry"
)

const cardText = `id = "north"
rink = "North Rink"
[[steps]]
when = "goal"
do = ["Score {score} for the {side} side."]
`

func cardSet(t *testing.T) entry.CardSet {
	t.Helper()
	c, err := card.Parse([]byte(cardText), "north.toml")
	if err != nil {
		t.Fatal(err)
	}
	raw, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	return entry.CardSet{Card: raw}
}

func viewOf(t *testing.T, u Update) card.View {
	t.Helper()
	var v card.View
	if err := json.Unmarshal(u.Card, &v); err != nil {
		t.Fatalf("%v: %s", err, u.Card)
	}
	return v
}

// TestCardGoesToEverybody: the reply, whoever asks, and whoever watches get the
// rink card beside the state, and nobody gets one where none is in use.
func TestCardGoesToEverybody(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		if reply := tb.post(period(1, 15)); reply.Card != nil {
			t.Errorf("a card that nobody uses: %s", reply.Card)
		}
		tb.post(cardSet(t), entry.BenchSet{Clock: entry.Lead, WaitForTicks: true})
		watch, err := tb.bench.Watch(t.Context(), gameID)
		if err != nil {
			t.Fatal(err)
		}
		defer watch.Close()
		if v := viewOf(t, <-watch.Updates()); v.Waiting != 0 || v.Holds || v.Rink != "North Rink" {
			t.Errorf("at first %+v", v)
		}
		v := viewOf(t, tb.post(entry.Goal{Side: entry.Home, Scorer: "7"}).Update)
		if v.Waiting != 1 || !v.Holds || v.Steps[0].Text != "Score 1 for the home side." {
			t.Errorf("after the goal %+v", v)
		}
		synctest.Wait()
		if told := viewOf(t, <-watch.Updates()); told.Waiting != 1 {
			t.Errorf("whoever watches got %+v", told)
		}
		if v = viewOf(t, tb.post(entry.Ticked{Step: v.Steps[0].ID}).Update); v.Waiting != 0 || v.Holds {
			t.Errorf("after the tick %+v", v)
		}
		if reply := tb.post(entry.CardSet{Card: json.RawMessage("null")}); reply.Card != nil {
			t.Errorf("the card is still there: %s", reply.Card)
		}
	})
}

// TestCardKnowsTheTime: while the clock runs, whoever asks gets what the board
// should read at that instant.
func TestCardKnowsTheTime(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		tb.post(cardSet(t))
		tb.post(period(1, 15))
		tb.post(entry.ClockStarted{})
		time.Sleep(90 * time.Second)
		update, err := tb.bench.State(context.Background(), gameID)
		if err != nil {
			t.Fatal(err)
		}
		if v := viewOf(t, update); v.Board.Text != "13:30" {
			t.Errorf("the board should read %s", v.Board.Text)
		}
	})
}

func TestBadCardIsRefused(t *testing.T) {
	inBubble(t, func(t *testing.T, tb *table) {
		good := tb.draft(cardSet(t))
		tb.send(good)
		amended := tb.draft(entry.Amended{To: entry.CardSet{Card: json.RawMessage(`{"id":"x"}`)}})
		amended.Of = good.ID
		for _, d := range []entry.Entry{tb.draft(entry.CardSet{Card: json.RawMessage(`{"colour":"red"}`)}), amended} {
			_, err := tb.bench.Post(context.Background(), gameID, []entry.Entry{d})
			var p *Problem
			if !errors.As(err, &p) || p.Kind != Refused || p.Refused[0].Field != "card" {
				t.Errorf("%s: %v", d.Kind(), err)
			}
		}
	})
}
