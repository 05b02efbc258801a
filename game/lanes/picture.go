package lanes

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Style is what a piece of a bar says by its look.
type Style string

// The styles of a piece.
const (
	Running    Style = "running"    // full bar
	Later      Style = "later"      // full bar; comes after the player's earlier piece
	Waiting    Style = "waiting"    // dashed: two run already
	Matched    Style = "matched"    // dotted: coincidental, substituted for
	Misconduct Style = "misconduct" // thin: nobody plays short
	Over       Style = "over"       // no time left: out at the next whistle
)

// Picture is both lanes at a moment of play.
type Picture struct {
	Now     rules.Moment
	Stage   entry.Stage
	Periods []rules.PeriodSpan
	Lanes   [2]Lane // home, visitors
}

// Lane is one side.
type Lane struct {
	Side    entry.Side
	Name    string
	Score   int
	Skaters int // on the ice
	Full    int // of a side at full strength in this period
	Bars    []Bar
}

// Bar is one line of a lane: what one player has to serve, one piece after the
// other.
type Bar struct {
	Player entry.Jersey // who was called; empty: the bench, or a number to follow
	Bench  bool
	Pieces []Piece
}

// Last is the piece that lets whoever sits out.
func (b Bar) Last() Piece { return b.Pieces[len(b.Pieces)-1] }

// Open reports whether the bar has no end: out at a whistle, or when there is
// room on the ice.
func (b Bar) Open() bool { return b.Last().AtWhistle() || b.Last().Held() }

// Piece is one term, or what is left of it at the moment.
type Piece struct {
	Term     rules.Term
	Style    Style
	From, To entry.Millis // on the axis of play
}

// AtWhistle reports whether whoever sits leaves at the first whistle after the
// time is up.
func (p Piece) AtWhistle() bool {
	return p.Term.Door == rules.NextWhistle || p.Term.Door == rules.AtWhistle
}

// Held reports whether whoever sits stays beyond the end of the time, because
// three sit, and it is known when the side may have another player on the ice.
func (p Piece) Held() bool {
	return p.Term.Door == rules.AtEnd && p.Term.Out != nil && p.Term.Out.Abs > p.Term.End.Abs
}

// At returns the picture of a state at a moment of play. The state knows what
// comes if play goes on; the picture shows it from the moment on.
func At(s rules.State, now rules.Moment) Picture {
	p := Picture{Now: now, Periods: s.Periods}
	full := s.Division.Skaters
	for _, span := range s.Periods {
		if span.Period == now.Period {
			p.Stage, full = span.Stage, span.Skaters
		}
	}
	var skaters [2]int
	for _, step := range s.Strength {
		if step.From.Abs <= now.Abs {
			skaters = step.Skaters
		}
	}
	for i, side := range entry.Sides {
		p.Lanes[i] = Lane{
			Side: side, Name: s.Teams[i].Name, Skaters: skaters[i], Full: full, Bars: bars(s, side, now.Abs),
		}
	}
	for _, g := range s.Goals {
		if g.Moment.Abs <= now.Abs {
			p.Lanes[g.Side.Index()].Score++
		}
	}
	return p
}

// bars lists what a side serves, in the order of the calls.
func bars(s rules.State, side entry.Side, now entry.Millis) []Bar {
	var list []Bar
	rows := map[string][]int{} // row of the fold to its bars here
	for _, t := range inOrder(s.Terms) {
		if t.Side != side || !serves(t, now) {
			continue
		}
		piece := Piece{Term: t, Style: style(t, now), From: max(t.Start.Abs, now), To: max(t.End.Abs, now)}
		placed := false
		for _, i := range rows[t.Row] {
			if list[i].Last().To <= piece.From && list[i].Last().Style != Over {
				list[i].Pieces = append(list[i].Pieces, piece)
				placed = true
				break
			}
		}
		if !placed {
			rows[t.Row] = append(rows[t.Row], len(list))
			list = append(list, Bar{Player: t.Player, Bench: t.Bench, Pieces: []Piece{piece}})
		}
	}
	return list
}

// inOrder sorts terms by when they are served, those of earlier calls first
// where that is the same.
func inOrder(terms []rules.Term) []rules.Term {
	terms = slices.Clone(terms)
	entry.Arrange(terms, func(a, b rules.Term) int {
		return cmp.Or(cmp.Compare(a.Start.Abs, b.Start.Abs), cmp.Compare(a.End.Abs, b.End.Abs))
	})
	return terms
}

// serves reports whether there is anything of a term left at a moment: time, or
// somebody who waits for a whistle.
func serves(t rules.Term, now entry.Millis) bool {
	if t.Ended == rules.Wiped || t.Ended == rules.NotServed || t.Length == 0 {
		return false
	}
	if t.End.Abs > now {
		return t.End.Abs > t.Start.Abs
	}
	if t.Out == nil {
		return t.Door == rules.NextWhistle && t.Start.Abs <= now
	}
	return t.Start.Abs <= now && t.Out.Abs > now
}

func style(t rules.Term, now entry.Millis) Style {
	switch {
	case t.End.Abs <= now:
		return Over
	case t.Part == entry.Misconduct:
		return Misconduct
	case t.Matched && !t.Costs:
		return Matched
	case t.Start.Abs > now && t.Waits:
		return Waiting
	case t.Start.Abs > now:
		return Later
	default:
		return Running
	}
}
