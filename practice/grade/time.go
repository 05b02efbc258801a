package grade

import (
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

// tick is a place at which the learner's clock was touched.
type tick struct {
	id      string
	wall    entry.Millis
	kind    entry.Kind
	stage   entry.Stage
	elapsed entry.Millis
	length  entry.Millis
	running bool
	seat    entry.Seat
}

// prepare folds both ledgers, and finds out where the learner's clock stood.
func (g *grading) prepare() error {
	g.cues = map[string]int{}
	for _, a := range g.script.Answers {
		if a.Cue <= g.upTo {
			g.answers = append(g.answers, a)
			g.cues[a.Entry.ID] = a.Cue
		}
	}
	due := make([]entry.Entry, len(g.answers))
	for i, a := range g.answers {
		due[i] = a.Entry
		due[i].Seq = i + 1
	}
	var err error
	if g.want, err = rules.Fold(due); err != nil {
		return err
	}
	g.show()
	g.cut()
	if g.have, err = rules.Fold(g.ledger); err != nil {
		return message.Because(err, "script.learner")
	}
	g.follow()
	for i, m := range g.script.Moments {
		if m.From <= g.upTo {
			g.stood = append(g.stood, g.standing(i))
		}
	}
	return nil
}

// show finds out when each cue was shown: where a screen did not say it, at its
// place in the script after the cue before it. A ledger without acts is taken as
// one of a practice at the script's own pace, from its first entry that was not
// given.
func (g *grading) show() {
	g.shown = make([]entry.Millis, len(g.script.Cues))
	told := make([]bool, len(g.shown))
	for _, a := range g.acts {
		if a.Do == Shown && a.Cue >= 0 && a.Cue < len(told) && !told[a.Cue] {
			g.shown[a.Cue], told[a.Cue] = a.Wall, true
		}
	}
	for i, c := range g.script.Cues {
		switch {
		case told[i]:
		case i == 0:
			g.shown[i] = script.Start + c.Real
		default:
			g.shown[i] = g.shown[i-1] + c.Real - g.script.Cues[i-1].Real
		}
	}
}

// cut leaves out what the learner did after the next whistle, when a practice is
// looked at as far as a cue.
func (g *grading) cut() {
	for c := g.upTo + 1; c < len(g.shown); c++ {
		if k := g.script.Cues[c].Kind; k != script.CueWhistle && k != script.CueRunsOut {
			continue
		}
		n := min(g.script.Given, len(g.ledger))
		for n < len(g.ledger) && g.ledger[n].Wall < g.shown[c]-script.EarlyClock {
			n++
		}
		g.ledger = g.ledger[:n]
		g.acts = slices.DeleteFunc(slices.Clone(g.acts), func(a Act) bool { return a.Do != Shown && a.Wall >= g.shown[c] })
		return
	}
}

// due is when something of the script's own time was due before the learner.
func (g *grading) due(wall entry.Millis) entry.Millis {
	real := wall - script.Start
	last := 0
	for i, c := range g.script.Cues {
		if c.Real <= real {
			last = i
		}
	}
	return g.shown[last] + real - g.script.Cues[last].Real
}

// follow reads how the learner's clock was touched, from the entries that stand.
func (g *grading) follow() {
	var stage entry.Stage
	length := entry.Millis(0)
	for _, l := range g.have.Lines {
		if l.Struck {
			continue
		}
		t := tick{id: l.Entry, wall: l.Wall, kind: l.Kind, seat: l.Seat}
		switch body := l.Body.(type) {
		case entry.StageBegun:
			stage, length = body.Stage, body.Length
			t.running = body.Running
		case entry.ClockStarted:
			t.elapsed, t.running = body.Elapsed, true
		case entry.ClockStopped:
			t.elapsed = body.Elapsed
		case entry.BoardRead:
			t.elapsed = body.Elapsed
		case entry.ClockSet:
			t.elapsed, t.running = body.Elapsed, len(g.line) > 0 && g.line[len(g.line)-1].running
		case entry.ClockDoubted:
			t.elapsed = body.Elapsed
		default:
			continue
		}
		t.stage, t.length = stage, length
		g.line = append(g.line, t)
	}
}

// touched is the newest touch of the learner's clock at an instant.
func (g *grading) touched(wall entry.Millis) tick {
	var last tick
	for _, t := range g.line {
		if t.wall <= wall {
			last = t
		}
	}
	return last
}

// runs reports whether the learner's clock of a period runs at an instant.
func (g *grading) runs(wall entry.Millis) bool {
	last := g.touched(wall)
	return last.running && last.stage.Play()
}

// at is where the learner's clock stood at an instant.
func (g *grading) at(wall entry.Millis) (entry.Stage, entry.Millis) {
	last := g.touched(wall)
	elapsed := last.elapsed
	if last.running {
		elapsed += wall - last.wall
	}
	if last.length > 0 {
		elapsed = min(elapsed, last.length)
	}
	return last.stage, elapsed
}

// standing is where the learner's clock stood at a stoppage, once all was put
// right there: before the next drop.
func (g *grading) standing(i int) entry.At {
	m := g.script.Moments[i]
	period := m.At.Period
	from, to := g.span(i)
	wall := from
	for _, t := range g.line {
		if t.wall > from && t.wall < to && t.kind != entry.KindClockStarted && t.kind != entry.KindStageBegun {
			wall = t.wall
		}
		if t.wall > from && t.wall < to && (t.kind == entry.KindClockStarted || t.kind == entry.KindStageBegun) {
			break
		}
	}
	stage, elapsed := g.at(wall)
	unread := g.script.Clock == entry.Follow && wall == from // the board shows the time all the same
	if m.At.Elapsed > 0 && (!stage.Play() || unread) {
		elapsed = m.At.Elapsed
	}
	return entry.At{Period: period, Elapsed: elapsed}
}

// span is when a stoppage began and when the puck was dropped after it.
func (g *grading) span(i int) (from, to entry.Millis) {
	m := g.script.Moments[i]
	from = g.shown[m.From]
	if i == 0 && len(g.ledger) > 0 {
		from = min(from, g.shown[0])
	}
	if m.To+1 < len(g.shown) && g.script.Cues[m.To+1].Kind == script.CueDrop {
		return from, g.shown[m.To+1]
	}
	return from, script.FarOff
}

// momentOf is the stoppage that an entry of the learner belongs to: the one at
// which the learner's clock stood nearest to the entry's time.
func (g *grading) momentOf(at rules.Moment) int {
	best, distance := 0, script.FarOff
	for i, stood := range g.stood {
		if stood.Period != at.Period {
			continue
		}
		if d := abs(stood.Elapsed - at.Elapsed); d < distance {
			best, distance = i, d
		}
	}
	return best
}

// placeOf is the stoppage of an answer.
func (g *grading) placeOf(cue int) int {
	best := 0
	for i, m := range g.script.Moments {
		if m.From <= cue {
			best = i
		}
	}
	return best
}

func abs(m entry.Millis) entry.Millis { return max(m, -m) }

// tenths writes a time in tenths of a second.
func tenths(m entry.Millis) int { return int((abs(m) + 50) / 100) }

// mine lists the answers of a kind that the learner owes.
func (g *grading) mine(kind entry.Kind) []script.Answer {
	var out []script.Answer
	for _, a := range g.answers {
		if a.Cue >= 0 && a.Entry.Kind() == kind {
			out = append(out, a)
		}
	}
	return out
}

// lines lists the learner's entries of a kind that stand and were not given.
func (g *grading) lines(kind entry.Kind) []rules.Line {
	var out []rules.Line
	for i, l := range g.have.Lines {
		if i >= g.script.Given && l.Kind == kind && !l.Struck {
			out = append(out, l)
		}
	}
	return out
}
