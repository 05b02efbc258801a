package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// record ends what the official record says of goals, calls and terms.
func (f *folding) record() {
	s, b := &f.state, f.box
	for _, g := range f.goals {
		s.Teams[g.Side.Index()].Score++
		g.Score = [2]int{s.Teams[0].Score, s.Teams[1].Score}
		f.came[g.play.nth].goal = g.Goal
	}
	for _, c := range f.calls {
		c.Parts, c.Charged = c.assessed(), f.charged(c)
	}
	s.Terms = b.record
	for _, t := range b.terms {
		if t.Costs && t.Sits == "" && !f.nobodySits(t) {
			t.Sits = f.sitsFor(t)
		}
	}
}

// list returns a list that is written as one in JSON, also when it is empty.
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

// nobodySits reports whether a term is served with an empty seat.
func (f *folding) nobodySits(t *term) bool { return t.Door == NoDoor && t.Out != nil }

// sitsFor returns who sits for a term that is not the last of its slot: whoever
// leaves when the slot closes.
func (f *folding) sitsFor(t *term) entry.Jersey {
	seen := false
	for _, o := range f.box.terms {
		if o == t {
			seen = true
			continue
		}
		if seen && o.Row == t.Row && o.Costs && o.Door != NoDoor {
			return o.Sits
		}
	}
	return ""
}

// charged sums the penalty minutes of a call for the record. A minor that a
// goal wiped out is not charged.
func (f *folding) charged(c *called) entry.Millis {
	sum := entry.Millis(0)
	for i := range c.parts {
		p := &c.parts[i]
		switch part := p.term.Part; {
		case p.wiped, part == entry.PenaltyShot:
		case part == entry.GameMisconduct, int(c.instead) == i+1:
			sum += f.code.Charges.GameMisconduct
		case part == entry.Match:
			sum += f.code.Charges.Match
		case len(c.lengths) > 0:
			sum += c.lengths[i]
		default:
			sum += f.box.lengthAt(part, c.at)
		}
	}
	return sum
}

// finish writes what is left: the lines, what may come next, what is owed and
// what holds.
func (f *folding) finish() {
	s := &f.state
	f.book()
	s.Next = f.next()
	f.limits()
	f.doubles()
	f.lines()
	f.owed()
	f.hold()
	f.due()
}

// next lists the stages that may follow, the usual one first.
func (f *folding) next() []NextStage {
	s := &f.state
	d := &s.Division
	regulation := len(d.Periods)
	tied := s.Teams[0].Score == s.Teams[1].Score
	period := func(n int) NextStage {
		return NextStage{Stage: playStage(d, n), Length: periodLength(d, n)}
	}
	rest := func(n int, length entry.Millis) NextStage {
		return NextStage{
			Stage: entry.Stage{Kind: entry.Intermission, Number: n}, Length: length, Running: true,
		}
	}
	over := NextStage{Stage: entry.Stage{Kind: entry.Over}}
	more := func(n int) []NextStage { // after period n of a game that may go on
		var out []NextStage
		played := n - regulation
		if len(d.Overtime.Periods) > played || d.Overtime.Repeat && len(d.Overtime.Periods) > 0 {
			if o, _ := overtimePeriod(d, n+1); o.Rest > 0 {
				out = append(out, rest(n, o.Rest))
			}
			out = append(out, period(n+1))
		}
		if d.ShootOut.Shooters > 0 {
			out = append(out, NextStage{Stage: entry.Stage{Kind: entry.ShootOut}})
		}
		if tied {
			return append(out, over)
		}
		return append([]NextStage{over}, out...)
	}
	switch s.Stage.Kind {
	case entry.Setup:
		out := []NextStage{period(1)}
		if d.WarmUp > 0 {
			warmUp := NextStage{Stage: entry.Stage{Kind: entry.WarmUp}, Length: d.WarmUp, Running: true}
			out = slices.Insert(out, 0, warmUp)
		}
		return out
	case entry.WarmUp:
		return []NextStage{period(1)}
	case entry.Period, entry.Overtime:
		n := periodOf(d, s.Stage)
		if n < regulation {
			return []NextStage{rest(n, d.Intermissions[n-1]), period(n + 1), over}
		}
		return more(n)
	case entry.Intermission:
		out := []NextStage{period(s.Stage.Number + 1)}
		if s.Stage.Number >= regulation && d.ShootOut.Shooters > 0 {
			out = append(out, NextStage{Stage: entry.Stage{Kind: entry.ShootOut}})
		}
		return append(out, over)
	case entry.ShootOut:
		return []NextStage{over}
	case entry.Over:
		return []NextStage{}
	default:
		return []NextStage{}
	}
}
