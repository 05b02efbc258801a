package practice

import (
	"context"
	"encoding/json"
	"slices"
	"strconv"
	"sync/atomic"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
	"whistlestop/practice/grade"
	"whistlestop/practice/progress"
	"whistlestop/practice/rink"
	"whistlestop/practice/run"
	"whistlestop/practice/script"
)

// play is a practice under way.
type play struct {
	table
	script script.Script
	title  ScriptTitle
	run    *run.Run
	grader *grade.Grader
	watch  bool // the program plays every seat
	said   int  // lines of the game that were told to whoever watches
	told   int  // cue up to which slips were asked for; -1: none yet

	telling grade.Telling
	started int   // cue up to which starts of the clock were looked at; -1: none yet
	checked int   // entries that stood when what was entered was looked at last
	waits   *Told // slips that are to be told before anything else
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
func begin(c *api.Call) (any, error) {
	r := roomOf(c)
	var b Beginning
	if err := c.Read(&b); err != nil {
		return nil, err
	}
	switch {
	case !slices.Contains(progress.Seats, b.Seat):
		return nil, api.Refuse("engine.no_seat", "seat", string(b.Seat))
	case !b.Pace.Valid():
		return nil, api.Refuse("engine.no_pace", "pace", string(b.Pace))
	}
	s, err := r.find(b.Script)
	if err != nil {
		return nil, err
	}
	plays := b.Seat
	if b.Watch {
		plays = "" // the program plays them all
	}
	p := &play{
		script: s, title: r.title(s), watch: b.Watch, said: s.Given, run: run.NewRun(s, b.Pace, plays, c.Now),
		grader: grade.NewGrader(s), told: -1, started: -1,
	}
	if p.table, err = newTable(p.run.Given(), b.Seat, c.Now); err != nil {
		return nil, err
	}
	r.clear()
	r.play = p
	return Begun{
		Game: p.id, Script: p.title, Division: s.Division, Home: s.Home, Visitors: s.Visitors, Box: s.Box, Cues: s.Cues,
	}, nil
}

// postsMost is how many times the other seats are asked in a row; each of their
// posts is made once, so this is never reached.
const postsMost = 100

// look says what happened up to now.
func (p *play) look(now entry.Millis) (Seen, error) {
	seen := Seen{Shown: []int{}}
	for range postsMost {
		sight, seq, err := p.sight()
		if err != nil {
			return Seen{}, err
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
		seen.Seq, seen.Hint, seen.OnHold = seq, g.Hint, g.OnHold
		if p.watch {
			seen.Doing = doings(sight.State.Lines[min(p.said, len(sight.State.Lines)):])
			p.said = len(sight.State.Lines)
		}
		break
	}
	if err := p.check(now, seen.Seq); err != nil {
		return Seen{}, err
	}
	seen.Told = p.run.UpTo() > p.told || p.waits != nil
	seen.Stops = p.waits != nil && p.waits.Stops
	seen.Done, seen.Of, seen.Cue = p.run.Done(), len(p.script.Moments), p.run.Newest()
	return seen, nil
}

// doings are new lines of a game, in words.
func doings(lines []rules.Line) (list []Doing) {
	for _, l := range lines {
		d := Doing{Kind: l.Kind, Say: l.Say}
		if body, is := l.Body.(entry.Seated); is {
			d.In = body.In
		}
		if len(l.Follows) > 0 {
			d.Why = &l.Follows[0]
		}
		list = append(list, d)
	}
	return list
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

func look(c *api.Call) (any, error) { return playOf(c).look(c.Now) }

// next goes on to the next thing, unless something is wrong or missing that was not told.
func next(c *api.Call) (any, error) {
	p := playOf(c)
	if p.run.Goes() && !p.watch {
		if err := p.halt(c.Now, p.placeOf(p.run.Newest()), grade.Fault.BeforeNext); err != nil {
			return nil, err
		}
	}
	if p.waits == nil {
		p.run.Next(c.Now)
	}
	return p.look(c.Now)
}

func setPace(c *api.Call) (any, error) {
	var in Pacing
	if err := c.Read(&in); err != nil {
		return nil, err
	}
	if !in.Pace.Valid() {
		return nil, api.Refuse("engine.no_pace", "pace", string(in.Pace))
	}
	playOf(c).run.SetPace(in.Pace)
	return playOf(c).look(c.Now)
}

// actsMost is how many acts are noted: more than any person does.
const actsMost = 20_000

// act notes what the learner does beside the ledger.
func act(c *api.Call) (any, error) {
	var d Deed
	if err := c.Read(&d); err != nil {
		return nil, err
	}
	p := playOf(c)
	side := d.Side == "" || slices.Contains(entry.Sides[:], d.Side)
	if d.Do == grade.Drafting || d.Do == grade.Drafted {
		if len(p.run.Acts()) < actsMost {
			p.run.Drafting(c.Now, d.Do == grade.Drafting)
		}
		return p.look(c.Now)
	}
	if !slices.Contains([]grade.Do{grade.Horn, grade.ToldOut, grade.Asked}, d.Do) || !side || len(d.Player) > 8 || len(p.run.Acts()) >= actsMost {
		return nil, api.Refuse("engine.no_act")
	}
	p.run.Did(grade.Act{Do: d.Do, Wall: c.Now, Side: d.Side, Player: d.Player})
	p.checked = 0 // a door is looked at like an entry
	return p.look(c.Now)
}

func frames(c *api.Call) (any, error) {
	p := playOf(c)
	cue, err := strconv.Atoi(c.Part("cue"))
	if err != nil || cue < 0 || cue >= len(p.script.Cues) {
		return nil, api.NotThere("engine.no_cue")
	}
	frames := rink.Frames(p.script, cue)
	if frames == nil {
		frames = []rink.Frame{}
	}
	return Frames{Frames: frames}, nil
}
