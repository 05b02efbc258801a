package practice

import (
	"context"

	"whistlestop/game/entry"
	"whistlestop/game/slot"
	"whistlestop/internal/answer"
	"whistlestop/internal/bench"
)

// game answers what the screens ask about the game, as the server does.
func (p *play) game(q question) (any, error) {
	ctx := context.Background()
	switch {
	case q.is("GET", "session"):
		return p.session(), nil
	case q.is("GET", "games"):
		titles, err := p.bench.Games(ctx)
		return answer.Games{Games: titles}, err
	case len(q.path) < 2 || q.path[0] != "games":
		return nil, missing("engine.no_question")
	}
	id := q.path[1]
	switch {
	case q.is("POST", "games/*/preview"):
		drafts, _, err := q.drafts()
		if err != nil {
			return nil, err
		}
		considered, err := p.bench.Preview(ctx, id, drafts)
		return considered.Preview, err
	case q.is("POST", "games/*/entries"):
		drafts, saw, err := q.drafts()
		if err != nil {
			return nil, err
		}
		reply, err := p.bench.PostFrom(ctx, id, drafts, p.poster(saw))
		return answer.PostedOf(reply, q.now), err
	case q.is("GET", "games/*/ledger.jsonl"):
		ledger, err := p.bench.Ledger(ctx, id)
		if err != nil {
			return nil, err
		}
		return answer.Lines(ledger)
	}
	update, err := p.bench.CatchUp(ctx, id)
	if err != nil {
		return nil, err
	}
	switch {
	case q.is("GET", "games/*"):
		return answer.SnapshotOf(update, q.now), nil
	case q.is("GET", "games/*/announcements"):
		return answer.AnnouncementsOf(update.State), nil
	case q.is("GET", "games/*/slot"):
		return answer.EndOfSlotOf(update.State, q.now, slot.Settings{}), nil
	}
	return nil, missing("engine.no_question")
}

// session says to a screen who it is: the bench's own computer, which may show
// any seat, and here shows the learner's.
func (p *play) session() answer.Session {
	s := answer.Session{Here: true, Game: p.id, Secure: true}
	if p.seat != entry.Solo {
		s.Seat = p.seat
	}
	return s
}

// poster is the learner as the bench knows them: whoever practises a seat can do
// what the seat can.
func (p *play) poster(saw int) bench.Poster {
	if p.seat == entry.Solo {
		return bench.Poster{Saw: saw}
	}
	return bench.Poster{Seat: p.seat, Saw: saw}
}

// drafts reads the entries of a post or preview, and the seq of the state that
// they were made from.
func (q question) drafts() (drafts []entry.Entry, saw int, err error) {
	var body answer.Entries
	if err := q.read(&body); err != nil {
		return nil, 0, err
	}
	drafts, wrong := body.Drafts()
	if wrong != nil {
		return nil, 0, &problem{answer.StatusUnreadable, answer.Unreadable, *wrong}
	}
	return drafts, body.Saw, nil
}
