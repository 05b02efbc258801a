package practice

import (
	"context"
	"encoding/json"
	"log/slog"
	"slices"
	"strconv"
	"sync/atomic"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/internal/bench"
	"whistlestop/internal/store/memory"
	"whistlestop/practice/grade"
	"whistlestop/practice/progress"
	"whistlestop/practice/rink"
	"whistlestop/practice/run"
	"whistlestop/practice/script"
)

// play is a practice under way.
type play struct {
	script script.Script
	title  ScriptTitle
	seat   entry.Seat
	run    *run.Run
	grader *grade.Grader
	clock  *toldClock
	bench  *bench.Bench
	id     string // of the game
	told   int    // cue up to which slips were asked for; -1: none yet
}

// toldClock shows what it was told. It never goes back.
type toldClock struct{ now atomic.Int64 }

func (c *toldClock) tell(now entry.Millis) entry.Millis {
	c.now.Store(max(c.now.Load(), int64(now)))
	return c.Now()
}

// Now returns what the clock was told last.
func (c *toldClock) Now() entry.Millis { return entry.Millis(c.now.Load()) }

// countedIDs are ids that count, so that the same practice gives the same ledger.
type countedIDs struct{ n atomic.Uint64 }

// New returns a ULID of the instant.
func (c *countedIDs) New(now entry.Millis) string {
	id := ulid.ULID{}
	if err := id.SetTime(uint64(max(0, now))); err != nil {
		panic(err) // the room keeps the time within bounds
	}
	n := c.n.Add(1)
	for i := range 8 {
		id[15-i] = byte(n >> (8 * i))
	}
	return id.String()
}

// begin begins a practice, in place of one that is under way.
func (r *Room) begin(q question) (any, error) {
	var b Beginning
	if err := q.read(&b); err != nil {
		return nil, err
	}
	switch {
	case !slices.Contains(progress.Seats, b.Seat):
		return nil, refused("engine.no_seat", "seat", string(b.Seat))
	case !b.Pace.Valid():
		return nil, refused("engine.no_pace", "pace", string(b.Pace))
	}
	s, err := r.find(b.Script)
	if err != nil {
		return nil, err
	}
	p := &play{
		script: s, title: r.title(s), seat: b.Seat, run: run.NewRun(s, b.Pace, b.Seat, q.now), clock: &toldClock{},
		grader: grade.NewGrader(s), id: s.Answers[0].Entry.ID, told: -1,
	}
	p.clock.tell(q.now)
	ledgers := memory.New()
	given := p.run.Given()
	if err := bench.Chain(nil, given); err != nil {
		return nil, err
	}
	if err := ledgers.Append(context.Background(), p.id, given); err != nil {
		return nil, err
	}
	p.bench = bench.New(ledgers, p.clock, &countedIDs{}, slog.New(slog.DiscardHandler))
	if r.play != nil {
		r.play.bench.Close()
	}
	r.play = p
	return Begun{
		Game: p.id, Script: p.title, Division: s.Division, Home: s.Home, Visitors: s.Visitors, Box: s.Box, Cues: s.Cues,
	}, nil
}

// postsMost is how many times the other seats are asked in a row; each of their
// posts is made once, so this is never reached.
const postsMost = 100

// look says what happened up to now.
func (p *play) look(now entry.Millis) (any, error) {
	seen := Seen{Shown: []int{}}
	for range postsMost {
		sight, seq, err := p.sight()
		if err != nil {
			return nil, err
		}
		g := p.run.Look(now, sight)
		seen.Shown = append(seen.Shown, g.Shown...)
		for _, e := range g.Posts {
			// What the rules refuse, after what the learner entered, is not posted:
			// the other seats do what they can.
			_, _ = p.bench.Post(context.Background(), p.id, []entry.Entry{e})
		}
		if len(g.Posts) > 0 {
			continue
		}
		seen.Jump, seen.Next, seen.Waits, seen.Over, seen.Box, seen.Release = g.Jump, g.Next, g.Waits, g.Over, g.Box, g.Release
		seen.Seq = seq
		break
	}
	seen.Told = p.run.UpTo() > p.told
	seen.Done, seen.Of, seen.Cue = p.run.Done(), len(p.script.Moments), p.run.Newest()
	return seen, nil
}

// sight is the learner's bench now.
func (p *play) sight() (s run.Sight, seq int, err error) {
	u, err := p.bench.CatchUp(context.Background(), p.id)
	if err != nil {
		return s, 0, err
	}
	s.State = u.State
	if len(u.Card) > 0 {
		var view card.View
		if err := json.Unmarshal(u.Card, &view); err != nil {
			return s, 0, err
		}
		s.Held = view.Holds
		for _, step := range view.Steps {
			if !step.Ticked {
				s.Steps = append(s.Steps, step.ID)
			}
		}
	}
	return s, u.State.Seq, nil
}

// practice answers what only practice asks of a practice under way.
func (p *play) practice(q question) (any, error) {
	switch {
	case q.is("POST", "practice/look"):
		return p.look(q.now)
	case q.is("POST", "practice/next"):
		p.run.Next(q.now)
		return p.look(q.now)
	case q.is("POST", "practice/pace"):
		return p.setPace(q)
	case q.is("POST", "practice/act"):
		return p.act(q)
	case q.is("GET", "practice/frames/*"):
		return p.frames(q.path[2])
	case q.is("GET", "practice/told"):
		return p.tell()
	case q.is("GET", "practice/grade"):
		return p.grade()
	case q.is("GET", "practice/record"):
		return p.record()
	case q.is("POST", "practice/result"):
		return p.result(q)
	}
	return nil, missing("engine.no_question")
}

func (p *play) setPace(q question) (any, error) {
	var body struct {
		Pace run.Pace `json:"pace"`
	}
	if err := q.read(&body); err != nil {
		return nil, err
	}
	if !body.Pace.Valid() {
		return nil, refused("engine.no_pace", "pace", string(body.Pace))
	}
	p.run.SetPace(body.Pace)
	return p.look(q.now)
}

// actsMost is how many acts are noted: more than any person does.
const actsMost = 20_000

// act notes what the learner does beside the ledger.
func (p *play) act(q question) (any, error) {
	var d Deed
	if err := q.read(&d); err != nil {
		return nil, err
	}
	side := d.Side == "" || slices.Contains(entry.Sides[:], d.Side)
	if !slices.Contains([]grade.Do{grade.Horn, grade.ToldOut, grade.Asked}, d.Do) || !side || len(d.Player) > 8 || len(p.run.Acts()) >= actsMost {
		return nil, refused("engine.no_act")
	}
	p.run.Did(grade.Act{Do: d.Do, Wall: q.now, Side: d.Side, Player: d.Player})
	return p.look(q.now)
}

func (p *play) frames(text string) (any, error) {
	cue, err := strconv.Atoi(text)
	if err != nil || cue < 0 || cue >= len(p.script.Cues) {
		return nil, missing("engine.no_cue")
	}
	frames := rink.Frames(p.script, cue)
	if frames == nil {
		frames = []rink.Frame{}
	}
	return Frames{Frames: frames}, nil
}
