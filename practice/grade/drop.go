package grade

import (
	"slices"

	"whistlestop/game/card"
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// drops looks at what the learner's own bench said at each puck drop.
func (g *grading) drops() error {
	cues := g.script.Cues
	for i, m := range g.script.Moments {
		drop := m.To + 1
		if drop > g.upTo+1 || drop >= len(cues) || cues[drop].Kind != script.CueDrop {
			continue
		}
		wall := g.shown[drop]
		if t, found := g.nearest(entry.KindClockStarted, wall, g.shown[m.From], script.FarOff); found && abs(t.wall-wall) < 2*cues[m.To].Wait+script.LateClock {
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
func (g *grading) readySkill(i int) plot.Skill {
	if g.noisy(i) {
		return plot.Noise
	}
	return plot.StartStop
}

// noisy reports whether somebody gets in the way at a stoppage.
func (g *grading) noisy(i int) bool {
	m := g.script.Moments[i]
	return slices.ContainsFunc(g.script.Cues[m.From:m.To+1], script.Cue.Noise)
}

// drop folds what the learner had entered before a drop.
func (g *grading) drop(i int, wall entry.Millis) error {
	n := 0
	for n < len(g.ledger) && (g.ledger[n].Wall < wall || n < g.script.Given) {
		n++
	}
	ready := g.readySkill(i)
	g.expect(ready, worthReady)
	built := g.built(g.shown[g.script.Moments[i].To+1])
	if !built && g.nothingNew(n) {
		g.looked = n
		return nil
	}
	bench, err := g.bench(n, wall)
	if err != nil {
		return err
	}
	g.looked, g.calm = n, bench.calm
	held := false
	for _, item := range bench.hold {
		if script.HasPrefix(item.Key, "seat/") && g.other[item.Entry] {
			continue // what is wrong with the call was said
		}
		f := Finding{Fault: DropOnHold, Skill: ready, Moment: i, Entry: item.Entry}
		if script.HasPrefix(item.Key, "seat/", "back/") {
			fresh := g.script.Cues[g.script.Moments[i].To].At.Elapsed == 0
			switch {
			case g.settled(item, wall):
			case fresh:
				g.slip(Finding{Fault: BackMissing, Skill: plot.CarryOver, Moment: i, Entry: item.Entry}, itemPairs(item)...)
				continue
			default:
				g.slip(Finding{Fault: SeatMissing, Skill: plot.MinorCall, Moment: i, Entry: item.Entry}, itemPairs(item)...)
				continue
			}
		}
		if !held {
			held = true
			g.slip(f, itemPairs(item)...)
		}
	}
	if built && !held {
		g.slip(Finding{Fault: DropOnHold, Skill: ready, Moment: i})
	}
	if bench.card {
		g.expect(plot.FollowBoard, worthBoard)
	}
	if bench.step != "" {
		g.slip(Finding{Fault: CardSteps, Skill: plot.FollowBoard, Moment: i}, "step", bench.step)
	}
	return nil
}

// built reports whether something was built on the learner's screen at an instant and
// not posted: whoever builds has not done what the referee said, and the bench says HOLD.
func (g *grading) built(at entry.Millis) bool {
	newest, on := entry.Millis(0), false
	for _, a := range g.acts {
		if (a.Do == Drafting || a.Do == Drafted) && newest <= a.Wall && a.Wall <= at {
			newest, on = a.Wall, a.Do == Drafting
		}
	}
	return on
}

// drop is a drop by what stood in the ledger then.
type drop struct {
	entries int
	newest  string // id
	wall    entry.Millis
}

// said is what the learner's own bench said at a drop.
type said struct {
	hold []rules.Item // what it waited for; not what is graded elsewhere
	calm bool
	card bool   // there is a rink card
	step string // of the rink card, the first that was left; empty: none
}

// bench folds what stood in the ledger at a drop, once.
func (g *grading) bench(n int, wall entry.Millis) (said, error) {
	key := drop{entries: n, wall: wall}
	if n > 0 {
		key.newest = g.ledger[n-1].ID
	}
	if known, has := g.said[key]; has {
		return known, nil
	}
	state, err := g.benches.Fold(g.ledger[:n])
	if err != nil {
		return said{}, err
	}
	now := said{calm: calm(state)}
	for _, item := range state.Hold {
		choice := slices.ContainsFunc(state.Asked, func(q rules.Question) bool { return q.ID == item.Key })
		if !choice && !script.HasPrefix(item.Key, "stage", "period_over", "decided", "running/") {
			now.hold = append(now.hold, item)
		}
	}
	if g.script.Clock == entry.Follow {
		view, err := card.Look(g.ledger[:n], state, wall)
		if err != nil {
			return said{}, err
		}
		if now.card = view != nil; now.card && view.Waiting > 0 {
			now.step = firstStep(view.Steps)
		}
	}
	g.said[key] = now
	return now, nil
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
	return len(s.Hold) == 0 && s.Stage.Play() && !script.Occupied(s, script.Position(s))
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
		default: // the other entries say nothing here
		}
	}
	return false
}

// ready measures how long the bench took, where the screen says it.
func (g *grading) ready(i int, m script.Moment) {
	from, to := g.span(i)
	said := from
	for c := m.From; c <= m.To; c++ {
		if k := g.script.Cues[c].Kind; k == script.CueWords || k == script.CueSits || k == script.CueLineUp {
			said = g.shown[c]
		}
	}
	for _, a := range g.acts {
		if a.Do != Ready || a.Wall < from || a.Wall > to {
			continue
		}
		g.grade.Times.Ready = append(g.grade.Times.Ready, a.Wall-from)
		if slow := a.Wall - said; slow > script.SlowReady {
			g.slip(Finding{Fault: ReadySlow, Skill: g.readySkill(i), Moment: i, Tenths: tenths(slow)}, "seconds", seconds(tenths(slow)))
		}
		return
	}
}
