package grade

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// out is somebody who was told to leave the box.
type out struct {
	who  player
	wall entry.Millis
	id   string
}

// outs lists whom the learner told to leave, by an entry or by an act, in order.
// An entry and an act about the same player within a few seconds are one.
func (g *grading) outs() []out {
	var list []out
	for _, l := range g.lines(entry.KindSeated) {
		if body, is := l.Body.(entry.Seated); is && !body.In {
			list = append(list, out{player{body.Side, body.Player}, l.Wall, l.Entry})
		}
	}
	for _, a := range g.acts {
		if a.Do != ToldOut {
			continue
		}
		same := func(o out) bool {
			return o.who == player{a.Side, a.Player} && abs(o.wall-a.Wall) <= script.LateRelease
		}
		if at := slices.IndexFunc(list, same); at >= 0 {
			list[at].wall = min(list[at].wall, a.Wall)
			continue
		}
		list = append(list, out{player{a.Side, a.Player}, a.Wall, ""})
	}
	return list
}

// release is somebody who leaves the box in the answer.
type release struct {
	script.Answer
	who  player
	as   player // as the learner knows them
	due  entry.Millis
	term rules.Term
}

// box compares who was told to leave the box with who was due.
func (g *grading) box() {
	if !g.script.Box {
		return
	}
	outs := g.outs()
	var wants []release
	for _, a := range g.script.Answers { // those that are not due yet may have been done
		body, is := a.Entry.Body.(entry.Seated)
		if !is || body.In || a.Cue < 0 {
			continue
		}
		r := release{Answer: a, who: player{body.Side, body.Player}, due: g.due(a.Entry.Wall - script.ReleaseAfter)}
		r.term = g.termOf(r)
		if g.wrong[r.term.Entry] {
			continue // the call itself is missing, and said
		}
		r.as = r.who
		if as, known := g.same[r.who]; known {
			r.as = as
		}
		wants = append(wants, r)
	}
	partner, left := pair(len(wants), len(outs), func(w, h int) int {
		if wants[w].who != outs[h].who && wants[w].as != outs[h].who {
			return -1
		}
		return int(abs(outs[h].wall - wants[w].due))
	})
	for w, h := range partner {
		if wants[w].Cue <= g.upTo {
			g.release(wants[w], h, outs)
		}
	}
	for _, h := range left {
		o := outs[h]
		f := Finding{Fault: ReleaseWrong, Skill: plot.MinorCall, Moment: g.momentAt(o.wall), Entry: o.id}
		for _, t := range g.have.Terms {
			if (player{t.Side, t.Sits}) == o.who || (player{t.Side, t.Player}) == o.who {
				f.Skill = g.skillOfTerm(t)
				if len(t.Reasons) > 0 {
					f.Reason = &t.Reasons[len(t.Reasons)-1]
				}
			}
		}
		g.slip(f, "team", g.team(o.who.side), "player", string(o.who.number))
	}
}

// termOf is the penalty that a release of the answer ends.
func (g *grading) termOf(r release) rules.Term {
	var found rules.Term
	for _, t := range g.want.Terms {
		if t.Out != nil && t.Side == r.who.side && t.Sits == r.who.number &&
			t.Out.Period == r.Entry.At.Period && t.Out.Elapsed == r.Entry.At.Elapsed {
			found = t
		}
	}
	return found
}

func (g *grading) skillOfTerm(t rules.Term) plot.Skill {
	for _, c := range g.want.Calls {
		if c.Entry != t.Entry {
			continue
		}
		switch {
		case t.Ended == rules.ByGoal:
			return plot.PowerPlayGoal
		case c.Moment.Period < t.End.Period && t.End.Elapsed > 0:
			return plot.CarryOver
		case t.Waits || t.Door == rules.AtWhistle && t.Costs:
			return plot.DelayedThird
		}
		return g.skillOfCall(c.Entry, entry.Penalty{Parts: c.Parts})
	}
	return plot.MinorCall
}

// momentAt is the newest stoppage at an instant.
func (g *grading) momentAt(wall entry.Millis) int {
	best := 0
	for i := range g.stood {
		if g.shown[g.script.Moments[i].From] <= wall {
			best = i
		}
	}
	return best
}
