package run

import (
	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/practice/grade"
	"whistlestop/practice/script"
)

// staysLong is how long somebody whose time is over stays in the box of the rink
// if nobody says a word: then they go by themselves.
const staysLong = 15_000

// inBox lists who sits in the box of the rink now, by the answer, home first, and
// whose time is over. Whom the learner told to leave has left.
func (r *Run) inBox(now entry.Millis, s Sight) (box, release []script.Boxed) {
	box, release = []script.Boxed{}, []script.Boxed{}
	answer := r.right()
	at := r.played(now, answer)
	for _, side := range entry.Sides {
		for _, out := range answer.Releases {
			if out.Side != side || out.Sits == "" {
				continue
			}
			b, inside, over := r.boxed(out, at, answer)
			key := outKey(out)
			if !inside {
				delete(r.over, key)
				continue
			}
			if r.sat[key] == 0 {
				r.sat[key] = now
			}
			if over && r.over[key] == 0 {
				r.over[key] = now
			}
			if r.wasTold(out, r.sat[key], s.State) || over && now-r.over[key] >= staysLong {
				r.over[key] = now - staysLong
				continue
			}
			if box = append(box, b); over {
				release = append(release, b)
			}
		}
	}
	return box, release
}

// boxed is how somebody who is to leave sits in the box now, if they do, and
// whether their time is over.
func (r *Run) boxed(out rules.Release, at entry.Millis, answer rules.State) (b script.Boxed, inside, over bool) {
	row := ""
	for _, t := range answer.Terms {
		if t.ID == out.Term {
			row = t.Row
		}
	}
	for _, t := range answer.Terms {
		if t.Row != row || t.Side != out.Side || t.Sits != out.Sits || t.Start.Abs > at || t.Ended == rules.Wiped || t.Ended == rules.NotServed {
			continue
		}
		inside = true
		b = script.Boxed{Side: t.Side, Player: t.Player, Sits: t.Sits, Part: t.Part, Left: max(0, out.Moment.Abs-at)}
	}
	if !inside || at < out.Moment.Abs {
		return b, inside, false
	}
	if out.Door == rules.NextWhistle {
		return b, r.playing() || out.Moment.Abs == at, false
	}
	return b, true, true
}

// wasTold reports whether the learner, or the box, told somebody to leave since
// they sat down.
func (r *Run) wasTold(out rules.Release, since entry.Millis, s rules.State) bool {
	for _, a := range r.acts {
		if a.Do == grade.ToldOut && a.Wall >= since && a.Side == out.Side && a.Player == out.Sits {
			return true
		}
	}
	for _, l := range s.Lines {
		body, is := l.Body.(entry.Seated)
		if is && !body.In && !l.Struck && l.Wall >= since && body.Side == out.Side && body.Player == out.Sits {
			return true
		}
	}
	return false
}
