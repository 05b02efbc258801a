package bench

import (
	"context"
	"errors"
	"maps"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// stepLeast is the largest step of the computer's clock that is taken for the
// difference of two readings, in milliseconds (ours).
const stepLeast entry.Millis = 2000

// Restart is what is known of the time from the end of the program before until
// its start. The zero value says that there was no such time.
type Restart struct {
	Doubt   bool         // a clock that ran then cannot be believed
	Kept    entry.Millis // the newest instant that was written, in the time of then; 0: none
	Counted bool         // whether Since is known
	Since   entry.Millis // how long ago Kept was, by a clock that nobody can set
	Step    entry.Millis // by which the time of day was set; known where Since is
	Running []string     // the games whose clock ran then, as the program before saw it
}

// MindRestart lets the bench hold every game whose clock ran before its start
// against what is known of the time since. It is called once, before games are
// opened.
func (b *Bench) MindRestart(r Restart) { b.restart = r }

// setJudged notes that the clock of a game was held against the restart: what it
// does from then on this bench sees.
func (b *Bench) setJudged(id string) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	b.judged[id] = true
}

func (b *Bench) isJudged(id string) bool {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return b.judged[id]
}

// moves notes whether the clock of a game runs.
func (b *Bench) moves(id string, runs bool) {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	before := len(b.moving)
	if runs {
		b.moving[id] = true
	} else {
		delete(b.moving, id)
	}
	switch now := len(b.moving); {
	case before == 0 && now > 0:
		close(b.runs)
	case before > 0 && now == 0:
		b.runs = make(chan struct{})
	}
}

// Runs returns a channel that is closed when the clock of a game runs; at once where one
// does. For whoever has something to do while clocks run, and would wake a phone for
// nothing while they stand.
func (b *Bench) Runs() <-chan struct{} {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return b.runs
}

// Running lists the games whose clock runs, of all that were looked at.
func (b *Bench) Running() []string {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return slices.Sorted(maps.Keys(b.moving))
}

// JudgeAll looks at every game whose clock may have run before the start, so that
// none of them is believed after the next one. A game that cannot be read is left
// out. It returns an error when it did not get through.
func (b *Bench) JudgeAll(ctx context.Context) error {
	ids, err := b.ledgers.Games(ctx)
	if err != nil {
		return err
	}
	for _, id := range ids {
		if err := b.judgeOne(ctx, id); err != nil {
			return err
		}
	}
	return nil
}

func (b *Bench) judgeOne(ctx context.Context, id string) error {
	select {
	case <-b.stop:
		return problem(Unavailable, nil, "bench.closing")
	default:
	}
	if b.isJudged(id) {
		return ctx.Err()
	}
	ledger, err := b.ledgers.Load(ctx, id)
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		b.logger.Error("load a game to look at its clock", "game", id, "error", err)
		return nil
	}
	if state, err := rules.Fold(ledger); err != nil || !state.Clock.Running {
		return nil
	}
	_, err = b.State(ctx, id)
	var p *Problem
	if errors.As(err, &p) && p.Kind == Faulty {
		return nil
	}
	return err
}

// doubtRestart posts that the time of the clock is not known, if it ran before
// the program was started and nothing vouches for the time since. It comes before
// everything else that the clock would bring about: no period is ended and nobody
// let out before a person said what the time is.
func (g *game) doubtRestart() error {
	if g.bench.isJudged(g.id) {
		return nil
	}
	state, newest := g.update.State, g.ledger[len(g.ledger)-1].Wall
	if state.Clock.Running {
		known, body, doubted := g.bench.restart.judge(g.id, state.Clock, newest, g.bench.Now())
		if doubted {
			entries := []entry.Entry{g.doubted(state, len(g.ledger)+1, known, body)}
			if err := g.keep(entries); err != nil {
				return err
			}
			g.bench.logger.Warn("the time of a clock is not known", "game", g.id, "why", string(body.Why), "step_ms", int64(body.Step))
		}
	}
	g.bench.setJudged(g.id)
	return nil
}

// doubted is the entry that says so. Known is the last instant at which the clock
// was right, in the time under which it was started.
func (g *game) doubted(state rules.State, seq int, known entry.Millis, body entry.ClockDoubted) entry.Entry {
	now := g.bench.Now()
	return entry.Entry{
		ID: g.bench.ids.New(now), Game: g.id, Seq: seq,
		Wall: min(known, now), Seat: entry.Program, At: where(state, known), Body: body,
	}
}

// judge holds a clock that runs against what is known of the time: newest is the
// newest instant in its ledger.
func (r Restart) judge(game string, c rules.Clock, newest, now entry.Millis) (known entry.Millis, body entry.ClockDoubted, doubted bool) {
	known = max(newest, c.Wall)
	if r.Doubt && slices.Contains(r.Running, game) {
		known = max(known, r.Kept) // the program saw it run until then
	}
	// then is the present in the time under which the clock was started. A record
	// that the ledger is ahead of is not of that time.
	then, counted := now, false
	if r.Doubt && r.Counted && known <= r.Kept+r.Since+stepLeast {
		then, counted = r.Kept+r.Since, true
	}
	if known > then+stepLeast {
		return known, lastKnown(c, known, now, entry.NotYet), true
	}
	if !r.Doubt {
		return known, body, false
	}
	why := entry.Restarted
	if counted {
		why = entry.Stepped
	}
	body = lastKnown(c, known, now, why)
	if counted {
		body.Step = r.Step
		body.Readings = append(body.Readings, entry.ClockReading{By: entry.Counted, Elapsed: c.At(then)})
	}
	if now >= known-stepLeast {
		body.Readings = append(body.Readings, entry.ClockReading{By: entry.TimeOfDay, Elapsed: c.At(now)})
	}
	return known, body, true
}

// lastKnown is a doubt with the last reading that is known.
func lastKnown(c rules.Clock, known, now entry.Millis, why entry.DoubtWhy) entry.ClockDoubted {
	return entry.ClockDoubted{
		Elapsed: c.At(known), Why: why, Kept: known, Found: now,
		Readings: []entry.ClockReading{{By: entry.LastKnown, Elapsed: c.At(known)}},
	}
}

// moved doubts the clock of a game that came from a copy: the time of day of two
// computers is not the same.
func moved(c rules.Clock, newest, now entry.Millis) entry.ClockDoubted {
	body := lastKnown(c, newest, now, entry.Moved)
	if now >= newest-stepLeast {
		body.Readings = append(body.Readings, entry.ClockReading{By: entry.TimeOfDay, Elapsed: c.At(now)})
	}
	return body
}
