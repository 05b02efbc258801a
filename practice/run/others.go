package run

import (
	"fmt"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/script"
)

// others is what the seats that are not the learner's post up to now. The box is
// played by what the ledger says, because it depends on what the learner entered:
// whoever sits is confirmed, whoever's time is over is told to leave. The rest is
// as the script has it.
func (r *Run) others(now entry.Millis, s Sight) []entry.Entry {
	var list []entry.Entry
	for i := r.script.Given; i < len(r.script.Answers); i++ {
		a := r.script.Answers[i]
		if at, post := r.postDue(a); post && at <= now {
			r.posted[a.Entry.ID] = true
			list = append(list, r.draft(a.Entry.ID, a.Entry.Seat, at, a.Entry.Of, a.Entry.Body))
		}
	}
	if r.playsBox() {
		list = append(list, r.boxPosts(now, s)...)
	}
	if !r.mine(entry.ClockSeat) && r.script.Clock == entry.Follow {
		for _, step := range s.Steps {
			if r.ticks[step] == 0 {
				r.ticks[step] = now
			}
			if key := "tick/" + step; r.ticks[step]+tickAfter <= now && !r.posted[key] {
				list = append(list, r.fresh(key, entry.ClockSeat, now, entry.Ticked{Step: step}))
			}
		}
	}
	return list
}

// playsBox reports whether the program plays the box.
func (r *Run) playsBox() bool { return r.script.Box && !r.mine(entry.BoxSeat) }

// tickAfter is how long a step of the rink card takes.
const tickAfter = 1_000

// postDue is when another seat posts an answer; false if it does not: the answer
// is the learner's, or the program's own, was posted, or belongs to the box.
func (r *Run) postDue(a script.Answer) (at entry.Millis, post bool) {
	switch body := a.Entry.Body.(type) {
	case entry.Seated:
		if body.In || a.Cue < 0 || r.posted[a.Entry.ID] || r.mine(entry.BoxSeat) {
			return 0, false
		}
		return r.freed(a)
	case entry.Ticked:
		return 0, false
	default: // the other entries say nothing here
	}
	if a.Cue < 0 || a.Cue >= len(r.shown) || r.posted[a.Entry.ID] || a.Entry.Seat == entry.Program || r.mine(a.Entry.Seat) {
		return 0, false
	}
	return r.shown[a.Cue] + a.Entry.Wall - script.Start - r.script.Cues[a.Cue].Real, true
}

// freed is when the box tells somebody to leave whom a whistle frees, as a goal
// does: nobody waits for the book there. Whoever's time runs out is told by the
// clock of the ledger.
func (r *Run) freed(a script.Answer) (at entry.Millis, post bool) {
	real := a.Entry.Wall - script.Start - script.ReleaseAfter
	for i := range r.shown {
		c := r.script.Cues[i]
		if c.Real == real && (c.Kind == script.CueWhistle || c.Kind == script.CueRunsOut) {
			return r.shown[i] + script.ReleaseAfter, true
		}
	}
	return 0, false
}

// nextPost is when another seat posts something next, as far as it is known.
func (r *Run) nextPost(now entry.Millis, s Sight) entry.Millis {
	next := script.FarOff
	for i := r.script.Given; i < len(r.script.Answers); i++ {
		if at, post := r.postDue(r.script.Answers[i]); post {
			next = min(next, at)
		}
	}
	for _, step := range s.Steps {
		if at, seen := r.ticks[step]; seen && !r.posted["tick/"+step] {
			next = min(next, at+tickAfter)
		}
	}
	return max(next, now)
}

// draft is an entry of another seat. The moment of play is left to the bench: it
// is where the clock stands.
func (r *Run) draft(id string, seat entry.Seat, at entry.Millis, of string, body entry.Body) entry.Entry {
	return entry.Entry{ID: id, Game: r.script.Answers[0].Entry.ID, Wall: at, Seat: seat, Of: of, Body: body}
}

// fresh is one that the script does not have, posted once under its key.
func (r *Run) fresh(key string, seat entry.Seat, at entry.Millis, body entry.Body) entry.Entry {
	r.posted[key] = true
	r.extra++
	return r.draft(fmt.Sprintf("01PRACX%019d", r.extra), seat, at, "", body)
}

// boxPosts is what the box posts now.
func (r *Run) boxPosts(now entry.Millis, s Sight) []entry.Entry {
	var list []entry.Entry
	for _, item := range s.State.Hold {
		body, is := item.Settle.(entry.Seated)
		key := fmt.Sprintf("in/%s/%d", item.Key, r.moment())
		if is && body.In && !r.posted[key] && r.sits(body) {
			list = append(list, r.fresh(key, entry.BoxSeat, now, body))
		}
	}
	for _, out := range s.State.Releases {
		at, due := r.outDue(out, now, s.State)
		if due && at <= now {
			list = append(list, r.fresh(outKey(out), entry.BoxSeat, at, entry.Seated{Side: out.Side, Player: out.Sits}))
		}
	}
	return list
}

// moment is the stoppage that is or was last.
func (r *Run) moment() int {
	best := 0
	for i, m := range r.script.Moments {
		if m.From < len(r.shown) {
			best = i
		}
	}
	return best
}

// sits reports whether a player was seen to go into the box: at this stoppage if
// the script has it here, otherwise at any before.
func (r *Run) sits(who entry.Seated) bool {
	here, before := false, false
	from := r.script.Moments[r.moment()]
	for i, c := range r.script.Cues {
		if c.Kind != script.CueSits || c.Side != who.Side || c.Player != who.Player {
			continue
		}
		if i >= from.From && i <= from.To {
			if i < len(r.shown) {
				return true
			}
			here = true
		}
		before = before || i < len(r.shown)
	}
	return before && !here
}

// isFreed reports whether a whistle of this stoppage frees somebody, so that the
// script says when they are told.
func (r *Run) isFreed(out rules.Release, now entry.Millis) bool {
	for _, a := range r.script.Answers {
		body, is := a.Entry.Body.(entry.Seated)
		if !is || body.In || a.Cue < 0 || body.Side != out.Side || body.Player != out.Sits {
			continue
		}
		if at, freed := r.freed(a); freed && at+staysLong >= now {
			return true
		}
	}
	return false
}

func outKey(out rules.Release) string {
	return fmt.Sprintf("out/%s/%s/%s/%d", out.Side, out.Sits, out.Term, out.Moment.Abs)
}

// outDue is when the box tells somebody to leave; false if it does not: nobody
// sits, they leave by themselves at a whistle, or they were told.
func (r *Run) outDue(out rules.Release, now entry.Millis, s rules.State) (entry.Millis, bool) {
	if out.Sits == "" || out.Door != rules.AtEnd && out.Door != rules.AtWhistle || r.posted[outKey(out)] {
		return 0, false
	}
	for _, l := range s.Lines {
		body, is := l.Body.(entry.Seated)
		if is && !body.In && !l.Struck && body.Side == out.Side && body.Player == out.Sits && l.Moment.Abs >= out.Moment.Abs-script.EarlyRelease {
			return 0, false
		}
	}
	if r.isFreed(out, now) {
		return 0, false
	}
	left := out.Moment.Abs - r.position(now, s)
	if left > 0 {
		delete(r.outs, outKey(out))
	} else if r.outs[outKey(out)] == 0 {
		r.outs[outKey(out)] = now
	}
	switch {
	case left <= 0:
		return r.outs[outKey(out)] + script.ReleaseAfter, true
	case s.Clock.Running && s.Stage.Play(), r.script.Clock == entry.Follow && r.playing():
		return now + left + script.ReleaseAfter, true
	}
	return 0, false
}

// nextOut is when somebody's penalty is over next, or the box tells somebody to
// leave, as far as that is known.
func (r *Run) nextOut(now entry.Millis, s Sight) entry.Millis {
	next := script.FarOff
	if !r.playing() && !s.State.Clock.Running {
		return next
	}
	at := r.position(now, s.State)
	for _, out := range s.State.Releases {
		if out.Moment.Abs > at {
			next = min(next, now+out.Moment.Abs-at)
		}
		if due, is := r.outDue(out, now, s.State); is && r.playsBox() {
			next = min(next, due)
		}
	}
	return next
}
