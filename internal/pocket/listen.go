package pocket

import (
	"context"
	"encoding/json"
	"fmt"

	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
)

// Event is what a page hears of a game: its name, the data in JSON, and the number of
// the state that it leads to.
type Event struct {
	Name, Data, ID string
}

// Listen tells the state of a game now, and from then on what changed, until it is
// stopped or the bench closes. The public view has what anybody may see.
func (b *Bench) Listen(game, view string, tell func(Event)) (stop func(), err error) {
	watch, err := b.live.Watch(context.Background(), game)
	if err != nil {
		return nil, err
	}
	seen := api.ViewOf(api.Caller{Here: true}, game, view)
	go func() {
		had := 0
		for update := range watch.Updates() {
			event, seq, err := b.event(update, seen, had)
			if err != nil {
				b.service.Logger.Error("tell of a game", "game", game, "error", err)
				return // nothing more is heard, and the page asks anew
			}
			had = seq
			tell(event)
		}
	}()
	return watch.Close, nil
}

// event is an update as a page hears it that had a state with a number; 0: none.
func (b *Bench) event(u bench.Update, v api.View, had int) (Event, int, error) {
	doc, err := b.service.Views.Doc(u, v)
	if err != nil {
		return Event{}, 0, err
	}
	event, seq := Event{Name: "state", ID: fmt.Sprint(doc.Seq())}, doc.Seq()
	said := struct {
		State  json.RawMessage `json:"state,omitempty"`
		Change json.RawMessage `json:"change,omitempty"`
		Card   json.RawMessage `json:"card,omitempty"`
		Run    string          `json:"run"`
		Now    int64           `json:"now_ms"`
	}{Run: b.service.Views.Run, Now: int64(b.live.Now())}
	if v.May(bench.ReadCards) {
		said.Card = u.Card
	}
	if had <= 0 || had > seq {
		said.State = doc.Whole()
	} else {
		event.Name = "change"
		if said.Change, err = json.Marshal(doc.Since(had)); err != nil {
			return event, 0, err
		}
	}
	raw, err := json.Marshal(said)
	event.Data = string(raw)
	return event, seq, err
}

// Beat is the bench's time, as a page hears it every two seconds.
func (b *Bench) Beat() Event {
	raw, err := json.Marshal(laptop.Beat{Now: b.live.Now()})
	if err != nil {
		panic(err) // a number can always be written
	}
	return Event{Name: "beat", Data: string(raw)}
}
