package drill

import (
	"slices"

	"whistlestop/card"
	"whistlestop/entry"
	"whistlestop/rules"
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
			return o.who == player{a.Side, a.Player} && abs(o.wall-a.Wall) <= lateRelease
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
	Answer
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
		r := release{Answer: a, who: player{body.Side, body.Player}, due: g.due(a.Entry.Wall - releaseAfter)}
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
		f := Finding{Fault: ReleaseWrong, Skill: MinorCall, Moment: g.momentAt(o.wall), Entry: o.id}
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

func (g *grading) skillOfTerm(t rules.Term) Skill {
	for _, c := range g.want.Calls {
		if c.Entry != t.Entry {
			continue
		}
		switch {
		case t.Ended == rules.ByGoal:
			return PowerPlayGoal
		case c.Moment.Period < t.End.Period && t.End.Elapsed > 0:
			return CarryOver
		case t.Waits || t.Door == rules.AtWhistle && t.Costs:
			return DelayedThird
		}
		return g.skillOfCall(c.Entry, entry.Penalty{Parts: c.Parts})
	}
	return MinorCall
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

// drops looks at what the learner's own bench said at each puck drop.
func (g *grading) drops() error {
	cues := g.script.Cues
	for i, m := range g.script.Moments {
		drop := m.To + 1
		if drop > g.upTo+1 || drop >= len(cues) || cues[drop].Kind != CueDrop {
			continue
		}
		wall := g.shown[drop]
		if t, found := g.nearest(entry.KindClockStarted, wall, g.shown[m.From], farOff); found && abs(t.wall-wall) < 2*cues[m.To].Wait+LateClock {
			wall = min(wall, t.wall)
		}
		if cues[drop-1].Running {
			continue // nothing holds a clock that runs
		}
		if err := g.drop(i, wall); err != nil {
			return err
		}
		g.ready(i, m)
	}
	return nil
}

// readySkill is what it takes to be ready in time at a stoppage: where somebody
// gets in the way, to keep one's head.
func (g *grading) readySkill(i int) Skill {
	if g.noisy(i) {
		return Noise
	}
	return StartStop
}

// noisy reports whether somebody gets in the way at a stoppage.
func (g *grading) noisy(i int) bool {
	m := g.script.Moments[i]
	return slices.ContainsFunc(g.script.Cues[m.From:m.To+1], Cue.noise)
}

// drop folds what the learner had entered before a drop.
func (g *grading) drop(i int, wall entry.Millis) error {
	n := 0
	for n < len(g.ledger) && (g.ledger[n].Wall < wall || n < g.script.Given) {
		n++
	}
	ready := g.readySkill(i)
	g.expect(ready, worthReady)
	if g.nothingNew(n) {
		g.looked = n
		return nil
	}
	state, err := rules.Fold(g.ledger[:n])
	if err != nil {
		return err
	}
	g.looked, g.calm = n, calm(state)
	held := false
	for _, item := range state.Hold {
		if hasPrefix(item.Key, "stage", "period_over", "decided", "running/") || g.chosen(item.Key, state) {
			continue // said where the stage, the running time, the captain's answer is graded
		}
		if hasPrefix(item.Key, "seat/") && g.other[item.Entry] {
			continue // what is wrong with the call was said
		}
		f := Finding{Fault: DropOnHold, Skill: ready, Moment: i, Entry: item.Entry}
		if hasPrefix(item.Key, "seat/", "back/") {
			fresh := g.script.Cues[g.script.Moments[i].To].At.Elapsed == 0
			switch {
			case g.settled(item, wall):
			case fresh:
				g.slip(Finding{Fault: BackMissing, Skill: CarryOver, Moment: i, Entry: item.Entry}, itemPairs(item)...)
				continue
			default:
				g.slip(Finding{Fault: SeatMissing, Skill: MinorCall, Moment: i, Entry: item.Entry}, itemPairs(item)...)
				continue
			}
		}
		if !held {
			held = true
			g.slip(f, itemPairs(item)...)
		}
	}
	if g.script.Clock == entry.Follow {
		view, err := card.Look(g.ledger[:n], state, wall)
		if err != nil || view == nil {
			return err
		}
		g.expect(FollowBoard, worthBoard)
		if view.Waiting > 0 {
			g.slip(Finding{Fault: CardSteps, Skill: FollowBoard, Moment: i}, "step", firstStep(view.Steps))
		}
	}
	return nil
}

// nothingNew reports whether the bench says READY at a drop for certain, so that
// nothing has to be folded: it did at the drop before, nobody sat in the box or
// was due to leave it, and since then the clock was started and stopped, no more.
func (g *grading) nothingNew(n int) bool {
	if !g.calm || n < g.looked || g.script.Clock == entry.Follow {
		return false
	}
	for _, e := range g.ledger[g.looked:n] {
		switch e.Body.(type) {
		case entry.ClockStarted, entry.ClockStopped:
			if e.Seat == entry.Program {
				return false
			}
		default:
			return false
		}
	}
	return true
}

// calm reports whether nothing is asked for, and the boxes are empty.
func calm(s rules.State) bool {
	return len(s.Hold) == 0 && s.Stage.Play() && !boxed(s, position(s))
}

// position is where play stands by the clock's anchor.
func position(s rules.State) entry.Millis {
	for _, span := range s.Periods {
		if span.Stage == s.Stage {
			return span.Abs + s.Clock.Elapsed
		}
	}
	return 0
}

// boxed reports whether somebody sits in the box after a moment of play, or has to
// be seen leaving it.
func boxed(s rules.State, after entry.Millis) bool {
	return slices.ContainsFunc(s.Terms, func(t rules.Term) bool {
		gone := t.End.Abs
		if t.Out != nil {
			gone = max(gone, t.Out.Abs)
		}
		return t.Ended != rules.Wiped && t.Ended != rules.NotServed && (gone >= after || t.Door == rules.NextWhistle)
	})
}

func firstStep(steps []card.Step) string {
	for _, s := range steps {
		if !s.Ticked {
			return s.Text
		}
	}
	return ""
}

// itemPairs are what a sentence about a player who should sit needs.
func itemPairs(item rules.Item) []string {
	var pairs []string
	for _, a := range item.Say.Args {
		if a.Name != "time" {
			pairs = append(pairs, a.Name, a.Text)
		}
	}
	return pairs
}

// chosen reports whether an item is a captain's answer.
func (g *grading) chosen(key string, state rules.State) bool {
	return slices.ContainsFunc(state.Asked, func(q rules.Question) bool { return q.ID == key })
}

// settled reports whether the learner did what an item asks for later on.
func (g *grading) settled(item rules.Item, after entry.Millis) bool {
	for _, l := range g.have.Lines {
		if l.Wall < after || l.Struck {
			continue
		}
		switch want := item.Settle.(type) {
		case entry.Seated:
			if body, is := l.Body.(entry.Seated); is && body == want && l.Wall < after+60_000 {
				return true
			}
		case entry.SetAside:
			if body, is := l.Body.(entry.SetAside); is && body == want {
				return true
			}
		}
	}
	return false
}

// ready measures how long the bench took, where the screen says it.
func (g *grading) ready(i int, m Moment) {
	from, to := g.span(i)
	said := from
	for c := m.From; c <= m.To; c++ {
		if k := g.script.Cues[c].Kind; k == CueWords || k == CueSits || k == CueLineUp {
			said = g.shown[c]
		}
	}
	for _, a := range g.acts {
		if a.Do != Ready || a.Wall < from || a.Wall > to {
			continue
		}
		g.grade.Times.Ready = append(g.grade.Times.Ready, a.Wall-from)
		if slow := a.Wall - said; slow > slowReady {
			g.slip(Finding{Fault: ReadySlow, Skill: g.readySkill(i), Moment: i, Tenths: tenths(slow)}, "seconds", seconds(tenths(slow)))
		}
		return
	}
}
