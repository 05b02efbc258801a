package card

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// Reading is what the rink's board should read at an instant.
type Reading struct {
	Score   [2]int       `json:"score"`              // home, visitors, as the display has it
	NoScore bool         `json:"no_score,omitempty"` // the division shows no score
	Period  int          `json:"period"`             // the overtime after three periods is 4; 0 before the first
	Abs     entry.Millis `json:"abs_ms"`             // how far play has come
	Clock   entry.Millis `json:"clock_ms"`           // as the board counts it, of the stage
	Text    string       `json:"clock"`              // the same in words, "" where the stage has no clock
	Sides   [2]Side      `json:"sides"`
	// Hold warns, in an intermission, that the board's penalties would run down:
	// hold them. They must read the same when the period begins.
	Hold bool `json:"hold_penalties"`
	// Lamps are those of which the steps that were ticked or are left to do say something.
	Lamps []Lamp `json:"lamps,omitempty"`
}

// Side is the penalties of a side, on the board and beside it.
type Side struct {
	Lines  []Line `json:"lines"`  // from the top, no line left free between
	Beside []Line `json:"beside"` // what the crew keeps in mind, or on paper
}

// Line is a penalty on a line of the board, or beside the board.
type Line struct {
	Number string       `json:"number"` // as the board writes it; "" where it shows none or none is known
	Left   entry.Millis `json:"left_ms"`
	Text   string       `json:"left"` // m:ss
	End    entry.Millis `json:"end_abs_ms"`
	Entry  string       `json:"entry"`         // the call; of a player's calls in a row, the last
	Why    Why          `json:"why,omitempty"` // it is beside the board; absent on it

	row     string
	side    entry.Side
	minutes entry.Millis // as it was assessed
}

// Why says why a penalty is not on the board.
type Why string

// Why a penalty is beside the board.
const (
	Waits   Why = "waits"    // for a teammate's penalty to end
	After   Why = "after"    // after an earlier penalty of the same player
	NoLine  Why = "no_line"  // all lines are taken
	TooLong Why = "too_long" // more than a line can show
)

// Should returns what the board should read at the instant now. Coincidental
// penalties and misconducts are not posted (USA Hockey Casebook, Rule 507
// situation 1), so they are in neither list.
func Should(state rules.State, c Card, now entry.Millis) Reading {
	r := Reading{
		Score: [2]int{state.Teams[0].Shown, state.Teams[1].Shown}, NoScore: state.Division.Display.NoScore,
		Abs: position(state, now), Period: period(state),
	}
	if length := state.Clock.Length; length > 0 {
		elapsed := state.Clock.At(now)
		if c.Board.CountsDown {
			r.Clock, r.Text = length-elapsed, (length - elapsed).Left()
		} else {
			r.Clock, r.Text = elapsed, elapsed.String()
		}
	}
	for i, side := range entry.Sides {
		r.Sides[i] = penalties(state, c, side, r.Abs)
	}
	r.Hold = c.Board.CountsInIntermission && state.Stage.Kind == entry.Intermission &&
		len(r.Sides[0].Lines)+len(r.Sides[1].Lines) > 0
	return r
}

// period is the number of the period that is played, or was played last.
func period(state rules.State) int {
	n := 0
	for _, span := range state.Periods {
		if span.Begun {
			n = span.Period
		}
	}
	return n
}

// position is how far play has come at an instant.
func position(state rules.State, now entry.Millis) entry.Millis {
	at := entry.Millis(0)
	for _, span := range state.Periods {
		switch {
		case state.Stage.Play() && span.Stage == state.Stage:
			return span.Abs + min(state.Clock.At(now), span.Length)
		case span.Begun:
			at = span.Abs + span.Length
		}
	}
	return at
}

// piece is one stretch of a player's penalties that a line can show in one.
type piece struct {
	Line
	start, root entry.Millis // root: where the player's penalties in a row began
	order       int
}

// penalties puts a side's penalties on lines, those posted first at the top.
func penalties(state rules.State, c Card, side entry.Side, now entry.Millis) Side {
	out := Side{Lines: []Line{}, Beside: []Line{}}
	if k := state.Stage.Kind; k == entry.ShootOut || k == entry.Over {
		return out // nobody needs them any more
	}
	most := entry.Clock(c.Board.MostMinutes, 0)
	for _, p := range pieces(state, c, side, most) {
		switch {
		case p.End <= now:
			continue
		case p.start > now:
			p.Left = p.End - p.start
		default:
			p.Left = p.End - now
		}
		p.Text = p.Left.Left()
		switch {
		case p.start > now && p.start > p.root:
			p.Why = After
		case p.start > now:
			p.Why = Waits
		case p.Left > most:
			p.Why = TooLong
		case len(out.Lines) >= c.Board.PenaltyLines:
			p.Why = NoLine
		default:
			out.Lines = append(out.Lines, p.Line)
			continue
		}
		out.Beside = append(out.Beside, p.Line)
	}
	return out
}

// pieces joins the terms of a player that follow one another, as long as a line
// can show them together: a double minor is posted as one time. How they are
// joined does not depend on the time, so that nothing changes while it runs.
func pieces(state rules.State, c Card, side entry.Side, most entry.Millis) []piece {
	var list []piece
	last := map[string]int{} // row to its newest piece
	for order, t := range inOrder(state.Terms) {
		if t.Side != side || !t.OnClock || t.Ended == rules.Wiped || t.Ended == rules.NotServed || t.End.Abs <= t.Start.Abs {
			continue
		}
		p := piece{
			Line:  Line{Number: shownNumber(c, t), End: t.End.Abs, Entry: t.Entry, row: t.Row, side: side, minutes: t.Length},
			start: t.Start.Abs, root: t.Start.Abs, order: order,
		}
		if i, known := last[t.Row]; known && list[i].End == p.start {
			before := &list[i]
			if p.End-before.start <= most {
				before.End, before.Entry, before.minutes = p.End, p.Entry, before.minutes+p.minutes
				continue
			}
			p.root, p.order = before.root, before.order
		}
		last[t.Row] = len(list)
		list = append(list, p)
	}
	entry.Arrange(list, func(a, b piece) int {
		if a.root != b.root {
			return int(a.root - b.root)
		}
		return a.order - b.order
	})
	return list
}

// inOrder returns the terms by their start.
func inOrder(terms []rules.Term) []rules.Term {
	list := slices.Clone(terms)
	entry.Arrange(list, func(a, b rules.Term) int { return int(a.Start.Abs - b.Start.Abs) })
	return list
}

// shownNumber is the number of who was called; for a bench penalty, of who
// serves it (common practice, no source).
func shownNumber(c Card, t rules.Term) string {
	switch {
	case !c.Board.ShowsNumbers:
		return ""
	case t.Player != "":
		return c.number(t.Player)
	default:
		return c.number(t.Sits)
	}
}
