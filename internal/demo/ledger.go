package demo

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// sinceLast is how long before now the newest entry was posted, in milliseconds.
const sinceLast = 20_000

// Ledger returns the ledger of the invented game at a moment, as if it had been
// posted up to shortly before now. The clock is stopped. It returns an error for
// a moment that is not among Moments.
func Ledger(moment string, now entry.Millis) ([]entry.Entry, error) {
	if !slices.Contains(Moments(), moment) {
		return nil, fmt.Errorf("there is no moment %q; the moments are %s", moment, strings.Join(Moments(), ", "))
	}
	// How long the game takes up to the moment is known once it was played.
	trial, err := play(moment, now)
	if err != nil {
		return nil, err
	}
	took := trial[len(trial)-1].Wall - now
	return play(moment, now-took-sinceLast)
}

// table is the invented game while it is played.
type table struct {
	wall   entry.Millis
	ids    *rand.ChaCha8
	ledger []entry.Entry
	state  rules.State
	at     entry.At // where play stands
	pauses entry.Millis
}

// play posts the game from its opening at the instant start up to the moment.
func play(moment string, start entry.Millis) ([]entry.Entry, error) {
	seed := [32]byte{}
	copy(seed[:], fmt.Sprint(moment, start))
	t := &table{wall: start, ids: rand.NewChaCha8(seed)}
	if err := t.open(start); err != nil {
		return nil, err
	}
	if moment == WarmUp {
		return t.ledger, nil
	}
	if err := t.stage(); err != nil { // the warm-up
		return nil, err
	}
	for i, period := range game {
		if err := t.toPlay(i + 1); err != nil {
			return nil, err
		}
		for _, w := range period {
			if err := t.whistle(w); err != nil {
				return nil, err
			}
			if w.name == moment {
				return t.ledger, nil
			}
		}
		if err := t.runOut(); err != nil {
			return nil, err
		}
	}
	return nil, fmt.Errorf("the game does not come to %q", moment)
}

// open posts the opening of the game.
func (t *table) open(start entry.Millis) error {
	for _, d := range rulebook.Divisions() {
		if d.ID != division {
			continue
		}
		raw, err := json.Marshal(d)
		if err != nil {
			return err
		}
		return t.post(entry.Solo, entry.GameOpened{
			Number: number, Venue: venue, Date: time.UnixMilli(int64(start)).UTC().Format(time.DateOnly),
			Division: raw, Home: kelpBay, Visitors: lanternside,
		})
	}
	return fmt.Errorf("the division %s is not there", division)
}

// stage begins the stage that usually comes next. A stage whose clock does not
// start by itself waits for a start.
func (t *table) stage() error {
	next := t.state.Next[0]
	if next.Stage.Play() {
		t.at = entry.At{Period: t.at.Period + 1}
	}
	if err := t.post(entry.Solo, entry.StageBegun{Stage: next.Stage, Length: next.Length, Running: next.Running}); err != nil {
		return err
	}
	if next.Stage.Play() {
		return nil
	}
	if !next.Running {
		t.wall += 5_000
		if err := t.post(entry.Solo, entry.ClockStarted{}); err != nil {
			return err
		}
	}
	return t.runOut()
}

// toPlay goes through the stages up to a period.
func (t *table) toPlay(period int) error {
	for range 3 { // an intermission or a rest at most lies before a period
		if t.state.Stage.Play() && t.at.Period == period {
			return nil
		}
		t.wall += 4_000
		if err := t.stage(); err != nil {
			return err
		}
	}
	return fmt.Errorf("period %d does not begin", period)
}

// whistle plays on to a stoppage and posts what was called there.
func (t *table) whistle(w whistle) error {
	if err := t.start(); err != nil {
		return err
	}
	t.wall += w.at - t.at.Elapsed
	t.at.Elapsed = w.at
	if err := t.post(entry.Solo, entry.ClockStopped{Elapsed: w.at, Error: 2}); err != nil {
		return err
	}
	for _, bodies := range w.posts {
		t.wall += 9_000
		if err := t.post(entry.Solo, bodies...); err != nil {
			return err
		}
	}
	return t.answer()
}

// answer answers what the book leaves to a captain, as the captains do here: with
// what would be played anyway.
func (t *table) answer() error {
	for _, q := range t.state.Asked {
		if q.Answered {
			continue
		}
		t.wall += 6_000
		if err := t.post(entry.Solo, entry.Choice{Question: q.ID, Picks: q.Default}); err != nil {
			return err
		}
	}
	return nil
}

// start drops the puck after a pause. The pauses differ, as they do.
func (t *table) start() error {
	t.pauses++
	t.wall += 14_000 + t.pauses*5_300%16_000
	return t.post(entry.Solo, entry.ClockStarted{Elapsed: t.at.Elapsed, Error: 2})
}

// runOut lets the clock run to its length, where the program stops it.
func (t *table) runOut() error {
	if !t.state.Clock.Running {
		if err := t.start(); err != nil {
			return err
		}
	}
	clock := t.state.Clock
	t.wall = clock.Wall + clock.Length - clock.Elapsed
	if t.state.Stage.Play() {
		t.at.Elapsed = clock.Length
	}
	return t.post(entry.Program, entry.ClockStopped{Elapsed: clock.Length})
}

// post posts entries together, as the rules allow.
func (t *table) post(seat entry.Seat, bodies ...entry.Body) error {
	drafts := make([]entry.Entry, len(bodies))
	for i, body := range bodies {
		id, err := ulid.New(uint64(t.wall), t.ids)
		if err != nil {
			return err
		}
		drafts[i] = entry.Entry{
			ID: id.String(), Seq: len(t.ledger) + i + 1, At: t.at, Wall: t.wall, Seat: seat, Body: body,
		}
		if len(t.ledger) == 0 {
			drafts[i].Game = drafts[i].ID // a game has the id of its first entry
		} else {
			drafts[i].Game = t.ledger[0].ID
		}
	}
	preview := rules.Consider(t.ledger, drafts, t.wall)
	if len(preview.Refused) > 0 {
		return fmt.Errorf("the invented game breaks a rule: entry %d: %+v", len(t.ledger)+1, preview.Refused[0])
	}
	for _, d := range drafts {
		if len(t.ledger) > 0 {
			prev, err := t.ledger[len(t.ledger)-1].Hash()
			if err != nil {
				return err
			}
			d.Prev = prev
		}
		t.ledger = append(t.ledger, d)
	}
	t.state = preview.State
	return nil
}
