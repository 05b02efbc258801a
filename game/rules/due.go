package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// The windows of a release, in play (common practice, no source): the gate is
// made ready ten seconds before, and whoever looks up a little late still reads
// who it was.
const (
	dueBefore = entry.Millis(10_000)
	dueAfter  = entry.Millis(10_000)
)

// whyGoal is the reason of a release that a goal brought about.
const whyGoal = "why.goal"

// Leaving is somebody who comes out of the box, or may, and the stretch of play in
// which every screen says so: from From to Until, both included. A release at a
// whistle is due until play goes on, one in play for a few seconds beyond it.
// Whoever was seen leaving by the Box seat is no longer due.
type Leaving struct {
	Moment Moment       `json:"moment"` // when the gate opens, or when the time was served
	Side   entry.Side   `json:"side"`
	Sits   entry.Jersey `json:"sits"`   // who comes out; empty: nobody was named
	Player entry.Jersey `json:"player"` // whose penalty it was; empty: the bench's, or owed
	Bench  bool         `json:"bench"`
	Term   string       `json:"term"`
	Door   Door         `json:"door"` // NextWhistle: stays in until one; NoDoor: a skater joins from the bench
	Why    Say          `json:"why"`
	From   entry.Millis `json:"from_ms"`
	Until  entry.Millis `json:"until_ms"`
}

// due lists the releases that are due now or will be, oldest first.
func (f *folding) due() {
	if f.state.Stage.Kind == entry.Over {
		return
	}
	stops := make([]entry.Millis, len(f.stops))
	for i, at := range f.stops {
		stops[i] = f.box.axis.abs(f.within(at))
	}
	slices.Sort(stops)
	now := f.position()
	for i, r := range f.state.Releases {
		d := Leaving{
			Moment: r.Moment, Side: r.Side, Sits: r.Sits, Term: r.Term, Door: r.Door, Why: r.Why,
			From: r.Moment.Abs - dueBefore, Until: f.dueUntil(r, stops),
		}
		switch r.Door {
		case NextWhistle: // nobody opens a gate for it yet
			d.From, d.Until = r.Moment.Abs, f.waitsUntil(i)
		case AtWhistle:
			d.From = r.Moment.Abs
		case AtEnd, NoDoor:
			if r.Why.Key == whyGoal {
				d.From = r.Moment.Abs // nobody knew it before
			}
		}
		if d.Until < max(now, d.From) || f.seenOut(r, d.From) {
			continue
		}
		if t := f.box.termOf(r.Term); t != nil {
			d.Player, d.Bench = t.Player, t.Bench
		}
		f.state.Due = append(f.state.Due, d)
	}
}

// dueUntil is how long a release is said. Where the clock stood, until play goes
// on; where it ran, for a few seconds of play or until the whistle that comes in
// them has been played on from. A goal that was entered late is news from then.
func (f *folding) dueUntil(r Release, stops []entry.Millis) entry.Millis {
	from := r.Moment.Abs
	if r.Why.Key == whyGoal {
		from = max(from, f.enteredAt(r))
	}
	next, _ := slices.BinarySearch(stops, from)
	if next < len(stops) && stops[next] <= from+dueAfter {
		return stops[next]
	}
	return from + dueAfter
}

// enteredAt is how far play had come when the goal behind a release was entered.
func (f *folding) enteredAt(r Release) entry.Millis {
	at := entry.Millis(0)
	for _, g := range f.goals {
		if f.box.axis.abs(g.at) == r.Moment.Abs {
			at = max(at, f.box.axis.abs(f.newestOf(g.play.place)))
		}
	}
	return at
}

// waitsUntil is the last moment at which somebody who has served the time is said
// to wait for a whistle: just before the same player's way out is said.
func (f *folding) waitsUntil(i int) entry.Millis {
	waits := f.state.Releases[i]
	for _, r := range f.state.Releases[i+1:] {
		switch {
		case r.Term != waits.Term:
		case r.Door == AtEnd:
			return r.Moment.Abs - dueBefore - 1
		default:
			return r.Moment.Abs - 1
		}
	}
	last := f.box.axis[len(f.box.axis)-1]
	return last.Abs + last.Length
}

// seenOut reports whether the Box seat has seen somebody leave since a release
// was due.
func (f *folding) seenOut(r Release, since entry.Millis) bool {
	if r.Sits == "" || r.Door == NextWhistle {
		return false
	}
	last, known := f.seen[sideNumber{r.Side, r.Sits}]
	return known && !last.in && last.abs >= since
}

// termOf finds a term by its id.
func (b *box) termOf(id string) *term {
	for _, t := range b.terms {
		if t.ID == id {
			return t
		}
	}
	return nil
}

// news is an entry about a goal: the place of the goal in the ledger, and how far
// play had come then.
type news struct {
	goal int
	at   entry.At
}

// hear notes how far play has come where an entry is about a goal.
func (f *folding) hear(e *settled) {
	goal := f.count
	if root := e.target.root; root > 0 { // an amendment is news about the goal itself
		goal = int(root) - 1
	}
	f.heard = append(f.heard, news{goal, f.playedTo(e.Wall)})
}

// playedTo is how far play has come at an instant; between two periods, to the end of
// the one before.
func (f *folding) playedTo(wall entry.Millis) (at entry.At) {
	s := &f.state
	if s.Stage.Play() {
		return entry.At{Period: periodOf(&s.Division, s.Stage), Elapsed: s.Clock.At(wall)}
	}
	for period, b := range f.begun {
		if period > at.Period {
			at = entry.At{Period: period, Elapsed: max(b.Length, periodLength(&s.Division, period))}
		}
	}
	return at
}

// newestOf is how far play had come at the newest entry about a goal.
func (f *folding) newestOf(goal int) (at entry.At) {
	for i := len(f.heard) - 1; i >= 0; i-- {
		if f.heard[i].goal == goal {
			return f.heard[i].at
		}
	}
	return at
}
