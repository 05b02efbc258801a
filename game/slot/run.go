package slot

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
)

// leg is a part of the rest of the game: a stretch of play, or a pause.
type leg struct {
	stage  entry.Stage
	length entry.Millis // that is left on its clock
}

// remaining lists what regulation still has, from the stage that the game is in.
func remaining(state rules.State, now entry.Millis) []leg {
	var list []leg
	d := state.Division
	add := func(kind entry.StageKind, number int, length entry.Millis) {
		stage := entry.Stage{Kind: kind, Number: number}
		switch {
		case stage == state.Stage:
			list = append(list[:0], leg{stage, max(0, state.Clock.Length-state.Clock.At(now))})
		case state.Stage.Kind != entry.Overtime && state.Stage.Kind != entry.ShootOut:
			list = append(list, leg{stage: stage, length: length})
		}
	}
	if d.WarmUp > 0 {
		add(entry.WarmUp, 0, d.WarmUp)
	}
	for i, length := range d.Periods {
		add(entry.Period, i+1, length)
		if i < len(d.Intermissions) {
			add(entry.Intermission, i+1, d.Intermissions[i])
		}
	}
	switch state.Stage.Kind {
	case entry.Over:
		return nil
	case entry.Overtime:
		add(entry.Overtime, state.Stage.Number, 0)
	case entry.Intermission:
		if state.Stage.Number >= len(d.Periods) { // the rest before overtime
			return []leg{{state.Stage, max(0, state.Clock.Length-state.Clock.At(now))}}
		}
	case entry.Setup, entry.WarmUp, entry.Period, entry.ShootOut:
		// what is listed is what is left
	}
	return list
}

// run is the rest of one game, played once.
type run struct {
	seen  observed
	state rules.State
	now   entry.Millis
	seed  uint64
}

// The drawn numbers of a run, by what they are for.
const (
	forStage   = 1 << 20 // and the number of the stage
	forTurn    = 1 << 21
	forNow     = 1 << 22
	forTimeOut = 1 << 23
	forTie     = 1 << 24
	forOT      = 1 << 25
)

// play returns how long the rest takes.
func (r run) play(rest []leg) entry.Millis {
	if r.state.Stage.Kind == entry.Over {
		return 0
	}
	took := r.pause()
	for i, l := range rest {
		if i > 0 && l.stage.Play() != rest[i-1].stage.Play() {
			took += pick(typicalTurns, r.draw(forTurn+uint64(len(rest)-i))) / 2
		}
		if l.stage.Kind == entry.Overtime && r.state.Division.Overtime.SuddenDeath {
			length := r.goalIn(l.length, uint64(l.stage.Number-1))
			took += r.leg(leg{l.stage, length})
			if length < l.length {
				return took
			}
			continue
		}
		took += r.leg(l)
	}
	took += r.timeOuts(rest)
	return took + r.extra()
}

// goalIn draws where in a stretch of sudden death the goal falls: anywhere, and
// in one game of three not in it (common practice, no source).
func (r run) goalIn(length entry.Millis, number uint64) entry.Millis {
	return min(length, length*entry.Millis(r.draw(forOT+number)%150)/100)
}

func (r run) draw(what uint64) uint64 { return mix(r.seed, what) }

// pause is what is left of the pause that the game is in.
func (r run) pause() entry.Millis {
	s := r.state
	switch {
	case s.TimeOut != nil:
		return r.left(s.TimeOut.Wall, s.TimeOut.Length+afterTimeOut)
	case s.Delay != nil && s.Delay.Length > 0:
		return r.left(s.Delay.Wall, s.Delay.Length+afterTimeOut)
	case s.Delay != nil:
		return r.left(s.Delay.Wall, pick(typicalDelays, r.draw(forNow)))
	case s.Clock.Running || s.Clock.Length > 0 && s.Clock.Elapsed >= s.Clock.Length || !s.Stage.Play() ||
		running(s, s.Stage):
		return 0
	default:
		return r.left(s.Clock.Wall, r.seen.draw(r.draw(forNow)))
	}
}

// left is what is left of a pause that began at an instant, and never more than
// the whole: what is dated after now was entered under another time of day.
func (r run) left(began, long entry.Millis) entry.Millis {
	return max(stillLeast, min(began, r.now)+long-r.now)
}

// tickLength is the stretch of play in which at most one stoppage is drawn.
const tickLength = entry.Millis(5_000)

// leg is how long a stretch takes: its clock, and the stoppages in it. They are
// drawn from the end backwards, so that more play left has all stoppages of less.
func (r run) leg(l leg) entry.Millis {
	took := l.length
	if !l.stage.Play() || running(r.state, l.stage) {
		return took
	}
	base := uint64(forStage) + uint64(l.stage.Number)<<10
	if l.stage.Kind == entry.Overtime {
		base += 1 << 18
	}
	every := uint64(r.seen.every())
	for i := uint64(1); entry.Millis(i)*tickLength < l.length; i++ { // none at the very end: that is the horn
		random := r.draw(base + i)
		if random%every < uint64(tickLength) {
			took += r.seen.draw(mix(random, 7))
		}
	}
	return took
}

// timeOuts adds the time-outs that are left, each as likely to be taken as not
// (common practice, no source).
func (r run) timeOuts(rest []leg) (took entry.Millis) {
	rule := r.state.Division.TimeOut
	if rule.FinalsOnly || len(rest) == 0 {
		return 0
	}
	for i, team := range r.state.Teams {
		for n := team.TimeOuts; n < rule.Each; n++ {
			if r.draw(forTimeOut+uint64(i*64+n))%2 == 0 {
				took += rule.Length + afterTimeOut
			}
		}
	}
	return took
}

// extra is what comes after regulation: overtime and a shoot-out, if the game is
// tied then.
func (r run) extra() (took entry.Millis) {
	s, d := r.state, r.state.Division
	lead := s.Teams[0].Score - s.Teams[1].Score
	lead = max(lead, -lead)
	after := s.Stage.Kind == entry.Overtime || s.Stage.Kind == entry.ShootOut ||
		s.Stage.Kind == entry.Intermission && s.Stage.Number >= len(d.Periods)
	if !after && (lead >= len(tiedInHundred) || r.draw(forTie)%100 >= tiedInHundred[lead]) {
		return 0
	}
	if s.Stage.Kind != entry.ShootOut && !d.Overtime.FinalsOnly {
		for i, p := range d.Overtime.Periods {
			if i < r.overtimes() {
				continue // it was played, or is the stage that the game is in
			}
			length, rest := p.Length, p.Rest
			if d.Overtime.SuddenDeath {
				length = r.goalIn(p.Length, uint64(i))
			}
			if after && s.Stage.Kind == entry.Intermission && i == r.overtimes() {
				rest = 0 // the game is in it
			}
			took += rest + r.leg(leg{stage: entry.Stage{Kind: entry.Overtime, Number: i + 1}, length: length})
			if length < p.Length {
				return took
			}
		}
	}
	if d.ShootOut.Shooters > 0 && !d.ShootOut.FinalsOnly {
		took += d.ShootOut.Prepare + pick(shootOutRounds, r.draw(forOT+64))
	}
	return took
}

// overtimes is how many overtime periods were begun.
func (r run) overtimes() int {
	n := 0
	for _, span := range r.state.Periods {
		if span.Begun && span.Stage.Kind == entry.Overtime {
			n++
		}
	}
	return n
}
