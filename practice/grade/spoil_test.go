package grade

import (
	"fmt"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

// spoil changes what a perfect robot does. It works on the entries that were not
// given.
type spoil func(r *robot)

// each changes the learner's entries of one kind of body.
func each[B entry.Body](change func(r *robot, e *entry.Entry, b B)) spoil {
	return func(r *robot) {
		for i := r.script.Given; i < len(r.ledger); i++ {
			if b, is := r.ledger[i].Body.(B); is {
				change(r, &r.ledger[i], b)
			}
		}
	}
}

// forget takes entries out.
func forget(which func(s script.Script, e entry.Entry) bool) spoil {
	return func(r *robot) {
		given := slices.Clone(r.ledger[:r.script.Given])
		mine := slices.DeleteFunc(slices.Clone(r.ledger[r.script.Given:]), func(e entry.Entry) bool { return which(r.script, e) })
		r.ledger = append(given, mine...)
	}
}

// later lets entries be posted later, in the order of their instants.
func later(by entry.Millis, which func(s script.Script, e entry.Entry) bool) spoil {
	return func(r *robot) {
		for i := r.script.Given; i < len(r.ledger); i++ {
			if which(r.script, r.ledger[i]) {
				r.ledger[i].Wall += by
			}
		}
		r.sort()
	}
}

// lateStops stops the clock so much after each whistle.
func lateStops(late entry.Millis) spoil {
	return func(r *robot) {
		each(func(_ *robot, e *entry.Entry, b entry.ClockStopped) {
			if e.Seat != entry.Program {
				e.Wall += late
				e.Body = entry.ClockStopped{Elapsed: b.Elapsed + late}
			}
		})(r)
		r.sort()
	}
}

func is[B entry.Body](_ script.Script, e entry.Entry) bool {
	_, is := e.Body.(B)
	return is
}

func cuts(kind entry.StageKind) func(script.Script, entry.Entry) bool {
	return func(_ script.Script, e entry.Entry) bool {
		b, is := e.Body.(entry.StageBegun)
		return is && b.Stage.Kind == kind
	}
}

// plainWhistle reports whether an entry is a stop at which nothing happens.
func plainWhistle(s script.Script, e entry.Entry) bool {
	b, is := e.Body.(entry.ClockStopped)
	return is && e.Seat == entry.ClockSeat && b.Elapsed > 0 &&
		!slices.ContainsFunc(s.Plot.Whistles, func(w plot.Whistle) bool { return w.At == e.At && len(w.Happen) > 0 })
}

// extra enters something at every whistle at which nothing happens.
func extra(body func(s script.Script, e entry.Entry) entry.Body) spoil {
	return func(r *robot) {
		var out []entry.Entry
		for i, e := range r.ledger {
			out = append(out, e)
			if i >= r.script.Given && plainWhistle(r.script, e) {
				e.ID, e.Body, e.Wall, e.Seat = "01EXTRA"+e.ID[7:], body(r.script, e), e.Wall+900, entry.BookSeat
				out = append(out, e)
			}
		}
		r.ledger = out
	}
}

// atNextWhistle enters everything of a kind at the whistle after its own, with
// that whistle's time.
func atNextWhistle[B entry.Body](r *robot) {
	for i := range r.ledger {
		if _, is := r.ledger[i].Body.(B); !is || i < r.script.Given {
			continue
		}
		for _, e := range r.ledger[i:] {
			if _, stops := e.Body.(entry.ClockStopped); stops && e.At.Period == r.ledger[i].At.Period && e.At.Elapsed > r.ledger[i].At.Elapsed && e.Seat == entry.ClockSeat {
				r.ledger[i].At, r.ledger[i].Wall = e.At, e.Wall+500
				break
			}
		}
	}
	r.sort()
}

// goesOn finds games in which something happens at a whistle that is not the last
// of its period.
func goesOn(what plot.What) func(script.Script) bool {
	return func(s script.Script) bool {
		for i, w := range s.Plot.Whistles[1:] {
			before := s.Plot.Whistles[i]
			if before.At.Period == w.At.Period && w.Why != plot.ForEndOf && len(before.Happen) > 0 && before.Happen[0].What == what {
				return true
			}
		}
		return false
	}
}

// calledTwice reports whether a side is called twice at one whistle, and nobody
// else is.
func calledTwice(s script.Script) bool {
	return slices.ContainsFunc(s.Plot.Whistles, func(w plot.Whistle) bool {
		return len(w.Happen) == 2 && w.Happen[0].What == plot.APenalty && w.Happen[1].What == plot.APenalty &&
			w.Happen[0].Penalty.Side == w.Happen[1].Penalty.Side
	})
}

// lastCallFirst changes the places of two calls of a side at one whistle, and
// lets them sit as its own bench then says.
func lastCallFirst(r *robot) {
	wrong := map[player]entry.Jersey{}
	for i := r.script.Given; i < len(r.ledger); i++ {
		for j := i + 1; j < len(r.ledger) && r.ledger[j].At == r.ledger[i].At; j++ {
			a, first := r.ledger[i].Body.(entry.Penalty)
			b, second := r.ledger[j].Body.(entry.Penalty)
			if first && second && a.Side == b.Side {
				r.ledger[i].Body, r.ledger[j].Body = b, a
				wrong[player{a.Side, a.Player}], wrong[player{b.Side, b.Player}] = b.Player, a.Player
			}
		}
	}
	each(func(_ *robot, e *entry.Entry, b entry.Seated) {
		if other, has := wrong[player{b.Side, b.Player}]; has {
			b.Player = other
			e.Body = b
		}
	})(r)
}

// asked reports whether a captain has to answer.
func asked(s script.Script) bool {
	return slices.ContainsFunc(s.Answers[s.Given:], func(a script.Answer) bool { return is[entry.Choice](s, a.Entry) })
}

// otherChoice hears the other players that a captain can name, and believes it.
func otherChoice(r *robot) {
	state, err := r.script.State()
	if err != nil {
		panic(err)
	}
	each(func(r *robot, e *entry.Entry, b entry.Choice) {
		q := state.Asked[slices.IndexFunc(state.Asked, func(q rules.Question) bool { return q.ID == b.Question })]
		others := slices.DeleteFunc(slices.Clone(q.Players), func(j entry.Jersey) bool { return slices.Contains(b.Picks, j) })
		wrong := map[entry.Jersey]entry.Jersey{}
		for n := range min(len(others), len(b.Picks)) {
			wrong[b.Picks[n]], wrong[others[n]] = others[n], b.Picks[n]
		}
		b.Picks = slices.Clone(b.Picks)
		for n, j := range b.Picks {
			if other, has := wrong[j]; has {
				b.Picks[n] = other
			}
		}
		e.Body = b
		each(func(_ *robot, o *entry.Entry, s entry.Seated) {
			if other, has := wrong[s.Player]; has && s.Side == q.Side && o.Wall >= e.Wall {
				s.Player = other
				o.Body = s
			}
		})(r)
	})(r)
}

// stopsInPlay stops the clock in the middle of play, and starts it again at once.
func stopsInPlay(r *robot) {
	for i := len(r.ledger) - 2; i >= r.script.Given; i-- {
		start, starts := r.ledger[i].Body.(entry.ClockStarted)
		next := r.ledger[i+1]
		if !starts || next.Wall < r.ledger[i].Wall+8_000 {
			continue
		}
		var both []entry.Entry
		at := r.ledger[i].At
		at.Elapsed = start.Elapsed + 4_000
		for n, body := range []entry.Body{entry.ClockStopped{Elapsed: at.Elapsed}, entry.ClockStarted{Elapsed: at.Elapsed}} {
			e := r.ledger[i]
			e.ID, e.At, e.Body, e.Wall = fmt.Sprintf("01PAUSE%018d%d", i, n), at, body, e.Wall+4_000+entry.Millis(n)*100
			both = append(both, e)
		}
		r.ledger = slices.Insert(r.ledger, i+1, both...)
	}
}

// wrongNumbers hears every number of a call wrong, and believes it.
func wrongNumbers(r *robot) {
	wrong := map[entry.Jersey]entry.Jersey{}
	for i := r.script.Given; i < len(r.ledger); i++ {
		switch b := r.ledger[i].Body.(type) {
		case entry.Penalty:
			if !b.Bench {
				wrong[b.Player] = entry.Jersey([]string{"70", "71", "72", "73", "74", "75", "76", "77", "78", "79"}[len(wrong)%10])
				b.Player = wrong[b.Player]
				r.ledger[i].Body = b
			}
		case entry.Seated:
			if as, known := wrong[b.Player]; known {
				b.Player = as
				r.ledger[i].Body = b
			}
		}
	}
}

func goalAt(s script.Script, at entry.At) bool {
	return slices.ContainsFunc(s.Answers, func(a script.Answer) bool { return a.Entry.At == at && is[entry.Goal](s, a.Entry) })
}

// slow keeps the referee waiting at every line-up, so that all that follows comes
// later.
func slow(r *robot) {
	for i := len(r.script.Cues) - 1; i >= 0; i-- {
		if r.script.Cues[i].Kind != script.CueLineUp {
			continue
		}
		from := script.Start + r.script.Cues[i].Real
		for n := range r.acts {
			if r.acts[n].Wall > from {
				r.acts[n].Wall += 25_000
			}
		}
		for n := range r.ledger {
			if r.ledger[n].Wall > from {
				r.ledger[n].Wall += 25_000
			}
		}
	}
}

// twice enters everything of a kind twice.
func twice[B entry.Body](r *robot) {
	var out []entry.Entry
	for i, e := range r.ledger {
		out = append(out, e)
		if _, is := e.Body.(B); is && i >= r.script.Given {
			e.ID = strings.Replace(e.ID, "01PRACT", "01TWICE", 1)
			e.Wall += 500
			out = append(out, e)
		}
	}
	r.ledger = out
}
