package report

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
)

// Options are what a league wants otherwise than its division says.
type Options struct {
	Times rulebook.ReportTimes // empty: as the division says
}

// Build makes the report of a ledger. It returns the error of the fold: a ledger
// that does not begin with the opening of a game, or with a division that cannot
// be read.
func Build(ledger []entry.Entry, o Options) (Document, error) {
	state, err := rules.Fold(ledger)
	if err != nil {
		return Document{}, err
	}
	d := Of(state, o)
	d.ledger(ledger, state.Lines)
	return d, nil
}

// Of makes the report of a folded game, which has neither drawn signatures nor
// fingerprints.
func Of(s rules.State, o Options) Document {
	b := &builder{state: &s, times: timesOf(s.Division, o), bodies: map[string]*rules.Line{}}
	for i := range s.Lines {
		b.bodies[s.Lines[i].Entry] = &s.Lines[i]
	}
	b.code, _ = rulebook.CodeByID(s.Info.Code) // the fold knows the code, so it is there
	b.end = Played(s)
	b.document()
	return b.d
}

// timesOf is how times are written: as somebody wants it, as the division says,
// or elapsed.
func timesOf(d rulebook.Division, o Options) rulebook.ReportTimes {
	return cmp.Or(o.Times, d.ReportTimes, rulebook.TimesElapsed)
}

// builder is a report under way.
type builder struct {
	state  *rules.State
	times  rulebook.ReportTimes
	bodies map[string]*rules.Line // by entry
	code   *rulebook.Code
	end    entry.Millis // play so far, on the axis
	d      Document
}

func (b *builder) document() {
	s := b.state
	b.d = Document{
		Schema: SchemaID, Version: Version,
		Game: s.Game, Seq: s.Seq, Times: b.times, Finished: s.Stage.Kind == entry.Over,
		Totals: Count(*s), Owed: list(s.Owed),
		Officials: list(s.Book.Crew.Officials), Crew: list(s.Book.Crew.Crew), Division: s.Division,
		Stoppages: stoppages(s), Choices: []entry.Choice{}, Sealed: s.Book.Sealed,
	}
	b.head()
	b.periods()
	b.teams()
	b.goals()
	b.penalties()
	b.log()
	b.attempts()
	b.shots()
	b.goalkeepers()
	b.signed()
	b.score()
}

// list returns a list that is written as one in JSON, also when it is empty.
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

func (b *builder) head() {
	s := b.state
	h := Head{
		Number: s.Info.Number, Schedule: s.Info.Schedule, League: s.Division.League, Division: s.Division.Name, Venue: s.Info.Venue,
		Date: s.Info.Date, Code: s.Info.Code, Book: s.Info.Book, Running: s.Division.Clock.Running,
	}
	first := entry.Stage{Kind: entry.Period, Number: 1}
	inFirst := false
	for i := range s.Lines {
		l := &s.Lines[i]
		if l.Struck {
			continue
		}
		switch body := l.Body.(type) {
		case entry.StageBegun:
			inFirst = body.Stage == first
			if inFirst && h.Started == 0 {
				h.Started = l.Wall // until the clock is started; the board's clock never is
			}
			if body.Stage.Kind == entry.Over {
				h.Finished = l.Wall
			} else {
				h.Finished = 0 // the game went on
			}
		case entry.ClockStarted:
			if inFirst && body.Elapsed == 0 {
				h.Started, inFirst = l.Wall, false
			}
		case entry.RunningTime:
			h.Running = h.Running || body.On
		default: // the other entries say nothing here
		}
	}
	b.d.Head = h
}

func (b *builder) periods() {
	b.d.Periods = []Period{}
	for _, span := range b.state.Periods {
		if !span.Begun {
			continue
		}
		p := Period{
			Period: span.Period, Stage: span.Stage, Length: span.Length, Abs: span.Abs,
			Played: min(max(0, b.end-span.Abs), span.Length),
		}
		for _, g := range b.state.Goals {
			if g.Moment.Period == span.Period {
				p.Goals[g.Side.Index()]++
			}
		}
		b.d.Periods = append(b.d.Periods, p)
	}
}

func (b *builder) teams() {
	for i, side := range entry.Sides {
		t := b.state.Teams[i]
		players := slices.Clone(list(t.Players))
		slices.SortStableFunc(players, func(x, y entry.Player) int { return byJersey(x.Number, y.Number) })
		b.d.Teams[i] = Roster{Side: side, Name: t.Name, Players: players, Staff: list(t.Staff), Confirmed: b.state.Book.Confirmed[i], Withdrawn: t.Withdrawn}
	}
}

// stamp writes a moment in whole seconds.
func (b *builder) stamp(m rules.Moment) Stamp {
	left := (m.Left + 999) / 1000 * 1000
	length := m.Elapsed + m.Left
	for _, span := range b.state.Periods {
		if span.Period == m.Period {
			length = span.Length
		}
	}
	return b.write(Stamp{Period: m.Period, Elapsed: max(0, length-left), Left: left, Abs: m.Abs})
}

// write fills in the text of a stamp.
func (b *builder) write(s Stamp) Stamp {
	s.Text = s.Elapsed.String()
	if b.times == rulebook.TimesRemaining {
		s.Text = s.Left.String()
	}
	return s
}

func (b *builder) stampOf(m *rules.Moment) *Stamp {
	if m == nil {
		return nil
	}
	s := b.stamp(*m)
	return &s
}

func (b *builder) goals() {
	b.d.Goals = []GoalLine{}
	for i, g := range b.state.Goals {
		line := GoalLine{
			Entry: g.Entry, Number: i + 1, At: b.stamp(g.Moment), Side: g.Side, Scorer: g.Scorer,
			Assists: list(g.Assists), Class: g.Class, On: g.On, EmptyNet: g.EmptyNet,
			Skaters: g.Skaters, Score: g.Score, Reasons: list(g.Reasons),
			OwnGoal: g.OwnGoal, OnIce: [2][]entry.Jersey{list(g.OnIce.Home), list(g.OnIce.Visitors)},
		}
		line.Goalkeeper, _ = b.state.KeeperAt(g.Side.Other(), g.Moment.Abs)
		if l := b.bodies[g.Entry]; l != nil {
			if body, ok := l.Body.(entry.Goal); ok {
				line.Unassisted = body.Unassisted
			}
		}
		b.d.Goals = append(b.d.Goals, line)
	}
}

// log writes what has no figures: time-outs, changes in goal, delays, notes and
// corrections, in the order of the game.
func (b *builder) log() {
	d := &b.d
	d.TimeOuts, d.Changes, d.Delays, d.Notes = []TimeOutLine{}, []GoalkeeperLog{}, []DelayLine{}, []NoteLine{}
	d.Corrections.List = []Correction{}
	for i := range b.state.Lines {
		l := &b.state.Lines[i]
		if l.Struck {
			continue
		}
		at := b.stamp(l.Moment)
		switch body := l.Body.(type) {
		case entry.TimeOut:
			d.TimeOuts = append(d.TimeOuts, TimeOutLine{Entry: l.Entry, At: at, Side: body.Side, Length: body.Length})
		case entry.Goalkeeper:
			d.Changes = append(d.Changes, GoalkeeperLog{Entry: l.Entry, At: at, Side: body.Side, Number: body.Number})
		case entry.Delay:
			d.Delays = append(d.Delays, DelayLine{Entry: l.Entry, At: at, Wall: l.Wall, Why: body.Why})
		case entry.Note:
			d.Notes = append(d.Notes, NoteLine{Entry: l.Entry, At: at, Wall: l.Wall, About: body.About, Text: body.Text, Side: body.Side, Player: body.Player})
		case entry.Choice:
			d.Choices = append(d.Choices, body)
		case entry.Amended:
			d.Corrections.Amended++
			b.correct(l, "")
		case entry.Struck:
			d.Corrections.Struck++
			b.correct(l, body.Reason)
		default: // the other entries say nothing here
		}
	}
	slices.SortStableFunc(d.TimeOuts, func(x, y TimeOutLine) int { return cmp.Compare(x.At.Abs, y.At.Abs) })
	slices.SortStableFunc(d.Changes, func(x, y GoalkeeperLog) int { return cmp.Compare(x.At.Abs, y.At.Abs) })
}

// correct lists an amendment or a strike, with what it is about in words.
func (b *builder) correct(l *rules.Line, reason string) {
	c := Correction{
		Entry: l.Entry, Of: l.Of, Wall: l.Wall, By: l.By, Struck: l.Kind == entry.KindStruck,
		Reason: reason, Say: l.Say,
	}
	if of := b.bodies[l.Of]; of != nil {
		c.Say = of.Say
	}
	b.d.Corrections.List = append(b.d.Corrections.List, c)
}

func (b *builder) score() {
	s := b.state
	c := Score{Shown: [2]int{s.Teams[0].Shown, s.Teams[1].Shown}, Final: [2]int{s.Teams[0].Score, s.Teams[1].Score}}
	for _, g := range s.Goals {
		c.Play[g.Side.Index()]++
	}
	if b.d.Finished && c.Final[0] != c.Final[1] {
		c.Winner = entry.Home
		if c.Final[1] > c.Final[0] {
			c.Winner = entry.Visitors
		}
		c.Decided = InRegulation
		for _, g := range s.Goals {
			if g.Moment.Period > len(s.Division.Periods) {
				c.Decided = InOvertime
			}
		}
		if c.Play[0] == c.Play[1] {
			c.Decided = InShootOut
		}
	}
	b.d.Score = c
}
