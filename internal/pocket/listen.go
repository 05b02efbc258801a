package pocket

import (
	"context"
	"encoding/json"
	"fmt"

	"whistlestop/internal/api"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/seats"
)

// Event is what a page hears of a game: its name, the data in JSON, and the number of
// the state that it leads to.
type Event struct {
	Name, Data, ID string
}

// Listen tells the bench's page the state of a game now, and from then on what changed,
// with who has a seat, until it is stopped or the bench closes. The public view has what
// anybody may see.
func (b *Bench) Listen(game, view string, tell func(Event)) (stop func(), err error) {
	return b.listen(listener{who: here}, game, view, tell)
}

// ListenFrom tells another device what its seat may see, until the seat is taken away.
func (b *Bench) ListenFrom(d Device, game, view string, tell func(Event)) (stop func(), err error) {
	who, session := b.caller(d)
	return b.listen(listener{who: who, session: session}, game, view, tell)
}

// listener is who hears of a game.
type listener struct {
	who     api.Caller
	session *seats.Session // of a seat; nil: of none
	seen    api.View
	had     int // number of the state that was told last; 0: none
}

// own reports whether it is the bench's page itself, which knows some state already.
func (l listener) own() bool { return l.had > 0 && l.who.Here && l.seen.All }

func (b *Bench) listen(l listener, game, view string, tell func(Event)) (stop func(), err error) {
	ctx, stop := context.WithCancel(context.Background())
	watch, err := b.live.Watch(ctx, game)
	if err != nil {
		stop()
		return nil, err
	}
	l.seen = api.ViewOf(l.who, game, view)
	go func() {
		defer stop()
		defer watch.Close()
		if err := b.follow(ctx, l, watch, game, tell); err != nil {
			b.service.Logger.Error("tell of a game", "game", game, "error", err) // nothing more is heard, and the page asks anew
		}
	}()
	return stop, nil
}

// follow tells until the context, the bench or the seat ends.
func (b *Bench) follow(ctx context.Context, l listener, watch *bench.Watch, game string, tell func(Event)) error {
	var ended <-chan struct{}
	if l.session != nil {
		defer b.service.Seats.Streaming(l.session)()
		ended = l.session.Ended()
	}
	var changed <-chan struct{}
	if l.seen.All || l.session != nil {
		sits := b.service.Seats.Watch(game)
		defer sits.Close()
		changed = sits.Changed()
	}
	for {
		select {
		case update, more := <-watch.Updates():
			if !more {
				return nil
			}
			if l.own() {
				select {
				case <-b.own.none():
				case <-ctx.Done():
					return nil
				}
			}
			event, seq, err := b.event(update, l.seen, l.had)
			if err != nil {
				return err
			}
			first := l.had == 0
			l.had = seq
			tell(event)
			if first && l.seen.All {
				tell(said("seats", b.service.Seats.List(game)))
			}
		case <-changed:
			if event, news := b.whoSits(&l, game); news {
				tell(event)
			}
		case <-ended:
			tell(Event{Name: "revoked", Data: "{}"})
			return nil
		case <-ctx.Done():
			return nil
		}
	}
}

// whoSits is what a listener is told when the seats have changed: the bench all of them,
// a seat that another device of its kind counts in its place now.
func (b *Bench) whoSits(l *listener, game string) (event Event, news bool) {
	if l.seen.All {
		return said("seats", b.service.Seats.List(game)), true
	}
	now := b.service.Seats.Info(l.session)
	if now.LooksOn == l.who.LooksOn {
		return Event{}, false
	}
	l.who.LooksOn = now.LooksOn
	return said("session", l.who.Session()), true
}

// said is an event with a value.
func said(name string, what any) Event {
	raw, err := json.Marshal(what)
	if err != nil {
		panic(err) // texts and numbers can always be written
	}
	return Event{Name: name, Data: string(raw)}
}

// event is an update as a page hears it that had a state with a number; 0: none.
func (b *Bench) event(u bench.Update, v api.View, had int) (Event, int, error) {
	doc, err := b.service.Views.Doc(u, v)
	if err != nil {
		return Event{}, 0, err
	}
	event, seq := Event{Name: "state", ID: fmt.Sprint(doc.Seq())}, doc.Seq()
	told := struct {
		State  json.RawMessage `json:"state,omitempty"`
		Change json.RawMessage `json:"change,omitempty"`
		Card   json.RawMessage `json:"card,omitempty"`
		Run    string          `json:"run"`
		Now    int64           `json:"now_ms"`
	}{Run: b.service.Views.Run, Now: int64(b.live.Now())}
	if v.May(bench.ReadCards) {
		told.Card = u.Card
	}
	if had <= 0 || had > seq {
		told.State = doc.Whole()
	} else {
		event.Name = "change"
		if told.Change, err = json.Marshal(doc.Since(had)); err != nil {
			return event, 0, err
		}
	}
	raw, err := json.Marshal(told)
	event.Data = string(raw)
	return event, seq, err
}

// Beat is the bench's time, as a page hears it every two seconds.
func (b *Bench) Beat() Event {
	return said("beat", laptop.Beat{Now: b.live.Now()})
}
