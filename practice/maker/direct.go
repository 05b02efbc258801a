package maker

import (
	"encoding/json"
	"fmt"
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// Direct plays a plot: it puts every cue at its instant and enters what a bench
// without a slip enters. It fails where the plot cannot be played, and says at
// which time of the game.
func Direct(p plot.Plot) (script.Script, error) {
	if err := p.Validate(); err != nil {
		return script.Script{}, err
	}
	d := &director{plot: p, level: plot.AtLevel[p.Level], luck: dice.Roll(p.Seed, "pauses"), noise: dice.Roll(p.Seed, "noise"), taken: -1}
	if slices.Contains(p.Skills, plot.Noise) {
		d.level.Noise = max(d.level.Noise, 250)
	}
	d.script = script.Script{
		ID: p.ID, Title: p.Title, Level: p.Level, Seed: p.Seed, Division: p.Division,
		Home: p.Home, Visitors: p.Visitors, Clock: p.Clock, Box: p.Box, Short: p.Short,
	}
	if err := d.game(); err != nil {
		return script.Script{}, err
	}
	return d.finish()
}

// run is a stretch in which the clock of a period ran.
type run struct{ abs, real, length entry.Millis }

// director plays a plot.
type director struct {
	plot   plot.Plot
	script script.Script
	level  plot.Level
	luck   *dice.Luck
	noise  *dice.Luck

	real   entry.Millis // since the opening of the game
	at     entry.At     // where play stands
	abs    entry.Millis // where the period begins on the axis of play
	ledger []entry.Entry
	cues   []int // by entry: the cue that asks for it
	state  rules.State
	folded int // entries folded into state
	grown  rules.Growing
	looked entry.Millis // on the axis: where it was last asked what holds the drop

	started entry.Millis // real, when the clock was started last
	from    entry.Millis // elapsed then
	runs    []run
	going   bool // the clock runs

	inTheWay *script.Cue // what is said at once with the referee's next words

	taken   int          // the first cue that the learner sees; -1: none yet
	zero    entry.Millis // real, when the learner begins
	given   int          // entries that stand by then
	moments []script.Moment
}

// fold brings the state up to the ledger.
func (d *director) fold() error {
	if d.folded == len(d.ledger) {
		return nil
	}
	state, err := d.grown.Fold(d.ledger)
	if err != nil {
		return err
	}
	d.state, d.folded = state, len(d.ledger)
	return nil
}

func (d *director) cue(c script.Cue) {
	c.Real, c.At, c.Running = d.real, d.at, d.going
	d.script.Cues = append(d.script.Cues, c)
}

// post enters what the newest cue asks for.
func (d *director) post(seat entry.Seat, at entry.At, body entry.Body, of string) string {
	n := len(d.ledger) + 1
	e := entry.Entry{
		ID: fmt.Sprintf("01PRACT%019d", n), Seq: n, At: at, Wall: d.real, Seat: seat, Of: of, Body: body,
	}
	e.Game = e.ID
	if n > 1 {
		e.Game = d.ledger[0].ID
	}
	d.ledger = append(d.ledger, e)
	d.cues = append(d.cues, len(d.script.Cues)-1)
	return e.ID
}

// takeOver lets the learner begin here, if this is the place.
func (d *director) takeOver(at entry.At) {
	if d.taken < 0 && at.Compare(d.plot.Begin) >= 0 {
		d.taken, d.zero, d.given = len(d.script.Cues), d.real, len(d.ledger)
		d.moments = []script.Moment{{From: d.taken, At: entry.At{Period: max(1, at.Period), Elapsed: d.at.Elapsed}}}
	}
}

// moment begins a stoppage with the newest cue.
func (d *director) moment() {
	d.moments = append(d.moments, script.Moment{From: len(d.script.Cues) - 1, At: d.at})
}

func (d *director) open() error {
	raw, err := json.Marshal(d.plot.Division)
	if err != nil {
		return err
	}
	d.post(entry.BookSeat, entry.At{}, entry.GameOpened{
		Number: d.plot.ID, Venue: "Saltworks Arena", Division: raw, Home: d.plot.Home, Visitors: d.plot.Visitors,
	}, "")
	d.post(entry.BookSeat, entry.At{}, entry.BenchSet{
		Clock: d.plot.Clock, ConfirmBox: d.plot.Box, WaitForTicks: d.plot.Clock == entry.Follow,
	}, "")
	if d.plot.Clock == entry.Follow {
		d.post(entry.BookSeat, entry.At{}, entry.CardSet{Card: d.plot.Card}, "")
	}
	return d.fold()
}

// game plays the plot from the opening to its end.
func (d *director) game() error {
	if err := d.open(); err != nil {
		return err
	}
	left := d.plot.Whistles
	d.takeOver(entry.At{})
	for period := 1; ; period++ {
		if err := d.begin(period); err != nil {
			return err
		}
		for len(left) > 0 && left[0].At.Period == period {
			if err := d.whistle(left[0]); err != nil {
				return message.Because(err, "plot.at", "period", period, "time", (d.length() - left[0].At.Elapsed).Left())
			}
			left = left[1:]
		}
		if len(left) == 0 && d.plot.Short {
			return nil
		}
		more, err := d.end(len(left) == 0)
		if err != nil {
			return err
		}
		if !more && len(left) > 0 {
			return message.New("script.over", "period", period, "next", left[0].At.Period)
		}
		if !more {
			return nil
		}
	}
}

// length is the length of the period that is played.
func (d *director) length() entry.Millis { return d.plot.Length(d.at.Period) }

// begin begins a period.
func (d *director) begin(period int) error {
	span, has := d.span(period)
	if !has {
		return message.New("plot.no_period", "division", d.plot.Division.Name, "period", period)
	}
	d.abs = span.Abs
	d.at = entry.At{Period: period}
	d.words(script.Cue{By: script.ByReferee, Say: script.Say("drill.heard.begin", "stage", script.StageArg(span.Stage))})
	d.post(entry.ClockSeat, d.at, entry.StageBegun{Stage: span.Stage, Length: d.length()}, "")
	if err := d.settle(nil); err != nil {
		return err
	}
	d.takeOver(d.at)
	return nil
}

// span is where a period lies on the axis of play. The fold lists an overtime that
// repeats once it was begun.
func (d *director) span(period int) (rules.PeriodSpan, bool) {
	listed := d.state.Periods
	if period <= len(listed) {
		return listed[period-1], true
	}
	last := listed[len(listed)-1]
	for _, next := range d.state.Next {
		if next.Stage.Kind == entry.Overtime && period == last.Period+1 {
			return rules.PeriodSpan{Period: period, Stage: next.Stage, Abs: last.Abs + last.Length}, true
		}
	}
	return rules.PeriodSpan{}, false
}

// end lets the clock of a period run out, and goes to the next one. It reports
// whether there is one: where the plot is done, overtime does not repeat for ever.
func (d *director) end(done bool) (more bool, err error) {
	if d.at.Elapsed < d.length() && !d.decided() {
		if err := d.whistle(plot.Whistle{At: entry.At{Period: d.at.Period, Elapsed: d.length()}, Why: plot.ForEndOf}); err != nil {
			return false, err
		}
	}
	if err := d.fold(); err != nil {
		return false, err
	}
	next := d.state.Next[0]
	if done && d.at.Period >= len(d.state.Periods) {
		next = rules.NextStage{Stage: entry.Stage{Kind: entry.Over}}
	}
	if next.Stage.Kind == entry.Intermission {
		d.words(script.Cue{By: script.ByReferee, Say: script.Say("drill.heard.break", "stage", script.StageArg(next.Stage))})
		d.post(entry.ClockSeat, d.at, entry.StageBegun{Stage: next.Stage, Length: next.Length, Running: true}, "")
		if d.plot.Short {
			d.real += cutBreak
			return true, nil
		}
		d.real += next.Length
		d.cue(script.Cue{Kind: script.CueBreakOver})
		d.post(entry.Program, d.at, entry.ClockStopped{Elapsed: next.Length}, "")
		return true, d.fold()
	}
	if next.Stage.Play() {
		return true, nil
	}
	d.words(script.Cue{By: script.ByReferee, Say: script.Say("drill.heard.over")})
	d.post(entry.ClockSeat, d.at, entry.StageBegun{Stage: entry.Stage{Kind: entry.Over}}, "")
	return false, d.fold()
}

// cutBreak is how long an intermission of a drill lasts: the referee is in a
// hurry.
const cutBreak = 8_000

// decided reports whether a goal in overtime has ended the game.
func (d *director) decided() bool {
	return slices.ContainsFunc(d.state.Hold, func(i rules.Item) bool { return i.Key == "decided" })
}

// finish shifts the script to where the learner begins, and adds who leaves the
// box when.
func (d *director) finish() (script.Script, error) {
	d.real += d.level.Talk
	d.cue(script.Cue{Kind: script.CueEnd})
	if err := d.fold(); err != nil {
		return script.Script{}, err
	}
	if d.taken < 0 {
		return script.Script{}, message.New("script.nothing_after", "period", d.plot.Begin.Period, "time", d.plot.Begin.Elapsed)
	}
	s := &d.script
	for i := range s.Cues {
		s.Cues[i].Real -= d.zero
	}
	end := s.Cues[len(s.Cues)-1].Real
	s.Cues = s.Cues[d.taken:]
	s.Length = end
	for i := range d.ledger {
		d.ledger[i].Wall += script.Start - d.zero
		s.Answers = append(s.Answers, script.Answer{Cue: max(-1, d.cues[i]-d.taken), Entry: d.ledger[i]})
	}
	if s.Box {
		d.leave()
	}
	for i := range s.Answers {
		s.Answers[i].Entry.Seq = i + 1
		if i < d.given {
			s.Answers[i].Cue = -1
		}
	}
	s.Given = d.given
	state, err := s.State()
	if err != nil {
		return script.Script{}, err
	}
	d.state = state
	for i := range d.moments {
		m := &d.moments[i]
		m.From = max(0, m.From-d.taken)
		m.To = len(s.Cues) - 1
		for c := m.From + 1; c < len(s.Cues); c++ {
			if s.Cues[c].Kind == script.CueDrop {
				m.To = c - 1
				break
			}
		}
		m.Right = rightAt(state, m.At)
	}
	s.Moments = d.moments
	s.Plot, s.Skills = d.plot, covered(*s, state)
	return *s, nil
}

// leave adds who is told to leave the box, at the instant at which it is due.
func (d *director) leave() {
	s := &d.script
	for _, r := range d.state.Releases {
		real, played := d.realOf(r.Moment.Abs)
		if at, known := d.whistleAt(r.Moment); r.Door == rules.AtWhistle && known {
			real = at // the clock may have been put back after it
		}
		if !played || r.Sits == "" || r.Door != rules.AtEnd && r.Door != rules.AtWhistle || d.staysIn(r) {
			continue
		}
		wall := real - d.zero + script.Start + 1_000
		at := slices.IndexFunc(s.Answers, func(a script.Answer) bool { return a.Entry.Wall > wall })
		if at < 0 {
			at = len(s.Answers)
		}
		if at < d.given {
			d.given++
		}
		cue := slices.IndexFunc(s.Cues, func(c script.Cue) bool { return c.Real > wall-script.Start+script.LateRelease })
		if cue < 0 {
			cue = len(s.Cues) - 1
		}
		n := len(s.Answers) + 1
		s.Answers = slices.Insert(s.Answers, at, script.Answer{Cue: cue, Entry: entry.Entry{
			ID: fmt.Sprintf("01PRACT%019d", n), Game: s.Answers[0].Entry.ID,
			At: entry.At{Period: r.Moment.Period, Elapsed: r.Moment.Elapsed}, Wall: wall, Seat: entry.BoxSeat,
			Body: entry.Seated{Side: r.Side, Player: r.Sits},
		}})
	}
}

// staysIn reports whether somebody whose penalty is over sits on for another.
func (d *director) staysIn(r rules.Release) bool {
	return slices.ContainsFunc(d.state.Terms, func(t rules.Term) bool {
		return t.ID != r.Term && t.Side == r.Side && t.Sits == r.Sits && t.Start.Abs <= r.Moment.Abs && t.End.Abs > r.Moment.Abs &&
			t.Ended != rules.Wiped && t.Ended != rules.NotServed
	})
}

// whistleAt is when the whistle of a stoppage went, by the time that the clock
// shows there in the end.
func (d *director) whistleAt(at rules.Moment) (entry.Millis, bool) {
	for _, m := range d.moments {
		if cue := m.From - d.taken; cue >= 0 && m.At.Period == at.Period && m.At.Elapsed == at.Elapsed {
			return d.script.Cues[cue].Real + d.zero, true
		}
	}
	return 0, false
}

// realOf is when play came to a moment on its axis, if it did.
func (d *director) realOf(abs entry.Millis) (entry.Millis, bool) {
	for _, r := range d.runs {
		if abs <= r.abs+r.length {
			return r.real + max(0, abs-r.abs), true
		}
	}
	return 0, false
}

// rightAt is how the game should stand at a stoppage.
func rightAt(state rules.State, at entry.At) script.Right {
	r := script.Right{Box: []script.Boxed{}}
	var abs entry.Millis
	for _, span := range state.Periods {
		if span.Period == at.Period {
			abs, r.Stage, r.Left = span.Abs+at.Elapsed, span.Stage, max(0, span.Length-at.Elapsed)
		}
	}
	for _, g := range state.Goals {
		if g.Moment.Abs <= abs && g.Moment.Period <= at.Period {
			r.Score = g.Score
		}
	}
	for _, step := range state.Strength {
		if step.From.Abs <= abs {
			r.Skaters = step.Skaters
		}
	}
	for _, side := range entry.Sides {
		for _, t := range state.Terms {
			if t.Side == side {
				boxed(&r, t, abs, state.Calls)
			}
		}
	}
	return r
}

// boxed adds a term that is served at a stoppage, or waits there.
func boxed(r *script.Right, t rules.Term, abs entry.Millis, calls []rules.Call) {
	called := slices.ContainsFunc(calls, func(c rules.Call) bool { return c.Entry == t.Entry && c.Moment.Abs <= abs })
	if !called || t.Ended == rules.Wiped || t.Ended == rules.NotServed || t.End.Abs <= abs {
		return
	}
	b := script.Boxed{Side: t.Side, Player: t.Player, Sits: t.Sits, Part: t.Part, Starts: t.Start.Abs > abs, Left: t.Length}
	if !b.Starts {
		b.Left = t.End.Abs + t.Cut - abs
	}
	r.Box = append(r.Box, b)
}
