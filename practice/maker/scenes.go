package maker

import (
	"slices"

	"whistlestop/game/dice"
	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/practice/plot"
)

// scene is a stretch of play that asks for a skill. The box is empty when it
// begins.
type scene struct {
	skill    plot.Skill
	takes    int // seconds that it needs
	clear    int // seconds after which nobody sits for it any more
	whistles func(m *maker, period, second int, side entry.Side)
}

// scenesOf returns the scene of a skill, if the skill needs one; m is the length
// of a minor in seconds.
func sceneOf(s plot.Skill, minor, major int) (scene, bool) {
	step := minor / 6
	call := func(after int, ofSide bool) func(m *maker, period, second int, side entry.Side) {
		return func(m *maker, period, second int, side entry.Side) {
			if !ofSide {
				side = side.Other()
			}
			m.add(period, second+after, plot.ForPenalty, m.call(side, entry.Minor))
		}
	}
	goal := func(after int, ofSide bool) func(m *maker, period, second int, side entry.Side) {
		return func(m *maker, period, second int, side entry.Side) {
			if !ofSide {
				side = side.Other()
			}
			m.add(period, second+after, plot.ForGoal, aGoal(side))
		}
	}
	at := func(why plot.Why, happen func(m *maker, second int, side entry.Side) []plot.Happening) func(m *maker, period, second int, side entry.Side) {
		return func(m *maker, period, second int, side entry.Side) {
			m.add(period, second, why, happen(m, second, side)...)
		}
	}
	all := func(steps ...func(m *maker, period, second int, side entry.Side)) func(m *maker, period, second int, side entry.Side) {
		return func(m *maker, period, second int, side entry.Side) {
			for _, one := range steps {
				one(m, period, second, side)
			}
		}
	}
	switch s {
	case plot.MinorCall:
		return scene{s, minor + 6, minor + 2, all(call(0, true), func(m *maker, period, second int, _ entry.Side) {
			m.add(period, second+minor+6, m.why())
		})}, true
	case plot.PowerPlayGoal:
		return scene{s, 3 * step, 3*step + 1, all(call(0, true), goal(3*step, false))}, true
	case plot.EvenGoal:
		return scene{s, 3 * step, minor + step + 1, all(call(0, true), call(step, false), goal(3*step, false))}, true
	case plot.TwoOnOne:
		return scene{s, 4 * step, minor + 2*step + 1, all(call(0, true), call(step, false), call(2*step, true), goal(4*step, false))}, true
	case plot.FiveOnThree:
		return scene{s, 3 * step, minor + step + 1, all(call(0, true), call(step, true), goal(3*step, false))}, true
	case plot.DelayedThird:
		return scene{s, 2 * minor, 2*minor + 1, all(call(0, true), func(m *maker, period, second int, side entry.Side) {
			if m.order.Level < plot.Levels || m.luck.Chance(500) {
				m.add(period, second+step, plot.ForPenalty, m.call(side, entry.Minor))
				m.add(period, second+2*step, plot.ForPenalty, m.call(side, entry.Minor))
				return
			}
			// Both at one whistle: the order of the calls decides which of them waits.
			m.add(period, second+step, plot.ForPenalty, m.call(side, entry.Minor), m.call(side, entry.Minor))
		})}, true
	case plot.Coincidental:
		return scene{s, 0, minor + 1, at(plot.ForPenalty, func(m *maker, _ int, side entry.Side) []plot.Happening {
			first := m.call(side, entry.Minor)
			first.Penalty.Call = "roughing"
			second := m.call(side.Other(), entry.Minor)
			second.Penalty.Call = "roughing"
			if m.order.Level < 4 || m.luck.Chance(500) {
				return []plot.Happening{first, second}
			}
			// Two against one: a captain says whose is cancelled.
			third := m.call(side, entry.Minor)
			third.Penalty.Call = "roughing"
			return []plot.Happening{first, second, third}
		})}, true
	case plot.DoubleMinor:
		return scene{s, 3 * step, minor + 3*step + 1, all(at(plot.ForPenalty, func(m *maker, _ int, side entry.Side) []plot.Happening {
			h := m.call(side, entry.Minor, entry.Minor)
			h.Penalty.Call = "high_sticking"
			return []plot.Happening{h}
		}), goal(3*step, false))}, true
	case plot.MajorCall:
		return scene{s, 4 * step, major + 1, all(at(plot.ForPenalty, func(m *maker, _ int, side entry.Side) []plot.Happening {
			return []plot.Happening{m.call(side, entry.Major)}
		}), goal(4*step, false))}, true
	case plot.Misconduct:
		return scene{s, 0, minor + 1, at(plot.ForPenalty, func(m *maker, _ int, side entry.Side) []plot.Happening {
			return []plot.Happening{m.call(side, entry.Minor, entry.Misconduct)}
		})}, true
	case plot.SignalledGoal:
		return scene{s, 0, 1, at(plot.ForGoal, func(m *maker, _ int, side entry.Side) []plot.Happening {
			h := m.call(side, entry.Minor)
			h.Penalty.Signalled = true
			return []plot.Happening{aGoal(side.Other()), h}
		})}, true
	case plot.TakenBack:
		return scene{s, 0, 1, at(plot.ForGoal, func(m *maker, _ int, side entry.Side) []plot.Happening {
			return []plot.Happening{aGoal(side), {What: plot.ANoGoal}}
		})}, true
	case plot.PutBack:
		return scene{s, 12, 13, func(m *maker, period, second int, _ entry.Side) {
			to := entry.Millis(second+12-m.luck.Between(2, 7)) * 1000
			m.add(period, second+12, plot.ForOfficial, plot.Happening{What: plot.AClockBack, To: to})
		}}, true
	case plot.TimeOutCall:
		return scene{s, 0, 1, at(plot.ForPuck, func(m *maker, _ int, side entry.Side) []plot.Happening {
			return []plot.Happening{m.timeOut(side)}
		})}, true
	case plot.RunningTime:
		return scene{s, 190, 191, func(m *maker, period, second int, side entry.Side) {
			m.add(period, second, plot.ForOfficial, plot.Happening{What: plot.ARunningTime, On: true})
			m.add(period, second+90, plot.ForGoal, aGoal(side))
			m.add(period, second+190, plot.ForOfficial, plot.Happening{What: plot.ARunningTime})
		}}, true
	case plot.Noise: // a number that nobody heard, and a coach who speaks at once with the referee
		return scene{s, 0, minor + 1, at(plot.ForPenalty, func(m *maker, _ int, side entry.Side) []plot.Happening {
			h := m.call(side, entry.Minor)
			h.Mumbled = true
			return []plot.Happening{h, m.timeOut(side.Other())}
		})}, true
	case plot.CarryOver, plot.Overtime, plot.StartStop, plot.Score, plot.PeriodEnd, plot.FollowBoard:
		return scene{}, false // of the period's end, of the game's, or of all of it
	}
	return scene{}, false
}

// timeOut is a time-out of a side, or of the other side if this one has had its
// own already.
func (m *maker) timeOut(side entry.Side) plot.Happening {
	for _, w := range m.plot.Whistles {
		if slices.ContainsFunc(w.Happen, func(h plot.Happening) bool { return h.What == plot.ATimeOut && h.Side == side }) {
			return plot.Happening{What: plot.ATimeOut, Side: side.Other()}
		}
	}
	return plot.Happening{What: plot.ATimeOut, Side: side}
}

// scenes places a scene for each skill that was asked for, in an order that the
// dice give, so that none gets in the way of another.
func (m *maker) scenes() error {
	major := int(m.order.Division.Lengths.Major / 1000)
	var list []scene
	carry := false
	for _, s := range m.order.Skills {
		carry = carry || s == plot.CarryOver
		if sc, needed := sceneOf(s, m.minor, major); needed {
			list = slices.Insert(list, m.luck.Below(len(list)+1), sc)
		}
	}
	regulation := len(m.order.Division.Periods)
	if carry {
		if regulation < 2 {
			return message.New("order.one_period")
		}
		m.carryOver(m.luck.Between(1, regulation-1))
	}
	cursor := make([]int, regulation+1)
	for i := range cursor {
		cursor[i] = m.luck.Between(15, 40)
	}
	for _, sc := range list {
		placed := false
		start := m.luck.Below(regulation)
		for n := range regulation {
			period := 1 + (start+n)%regulation
			if m.put(sc, period, &cursor[period]) {
				placed = true
				break
			}
		}
		if !placed {
			return message.New("order.too_many")
		}
	}
	return nil
}

// put places a scene in a period, if there is room from the cursor on.
func (m *maker) put(sc scene, period int, cursor *int) bool {
	length := m.seconds(period)
	for at := *cursor; at+max(sc.takes, sc.clear) < length-apart; at++ {
		if slices.ContainsFunc(m.busy[period], func(w window) bool { return at <= w.to && at+sc.clear+apart >= w.from }) {
			continue
		}
		sc.whistles(m, period, at, dice.Pick(m.luck, entry.Sides[:]))
		m.busy[period] = append(m.busy[period], window{at, at + max(sc.takes, sc.clear)})
		*cursor = at + max(sc.takes, sc.clear) + m.luck.Between(8, 30)
		return true
	}
	return false
}

// carryOver ends a period with a minor that goes on in the next one.
func (m *maker) carryOver(period int) {
	length := m.seconds(period)
	left := m.luck.Between(m.minor/4, m.minor*3/4)
	side := dice.Pick(m.luck, entry.Sides[:])
	m.add(period, length-left, plot.ForPenalty, m.call(side, entry.Minor))
	m.busy[period] = append(m.busy[period], window{length - left, length})
	m.busy[period+1] = append(m.busy[period+1], window{0, m.minor - left + apart})
	m.add(period+1, m.minor-left+apart, m.why())
}

// overtime lets a game that is tied, or has to be, go on. The first goal ends it
// where the division says so.
func (m *maker) overtime() {
	d := m.order.Division
	if len(d.Overtime.Periods) == 0 {
		return
	}
	score := m.score()
	asked := slices.Contains(m.order.Skills, plot.Overtime)
	if score[0] != score[1] && !asked {
		return
	}
	for score[0] != score[1] && m.level(score) {
		score = m.score()
	}
	period := len(d.Periods) + 1
	seconds := m.seconds(period)
	ends := d.Overtime.SuddenDeath || d.Overtime.Periods[0].SuddenDeath
	if !m.fill(period, seconds, ends) && ends {
		second := m.luck.Between(seconds/2, seconds-2*apart)
		m.plot.Whistles = slices.DeleteFunc(m.plot.Whistles, func(w plot.Whistle) bool {
			return w.At.Period == period && w.At.Elapsed >= entry.Millis(second-apart)*1000
		})
		m.add(period, second, plot.ForGoal, aGoal(dice.Pick(m.luck, entry.Sides[:])))
	}
	m.sort()
}

func (m *maker) score() (score [2]int) {
	for _, w := range m.plot.Whistles {
		taken := slices.ContainsFunc(w.Happen, func(h plot.Happening) bool { return h.What == plot.ANoGoal })
		for _, h := range w.Happen {
			if h.What == plot.AGoal && !taken {
				score[h.Goal.Side.Index()]++
			}
		}
	}
	return score
}

// level turns a whistle of the last period, outside every scene, into a goal of
// the side that is behind. It reports whether there was one.
func (m *maker) level(score [2]int) bool {
	side := entry.Home
	if score[0] > score[1] {
		side = entry.Visitors
	}
	for period := len(m.order.Division.Periods); period >= 1; period-- {
		for i := len(m.plot.Whistles) - 1; i >= 0; i-- {
			w := &m.plot.Whistles[i]
			second := int(w.At.Elapsed / 1000)
			if w.At.Period == period && len(w.Happen) == 0 && w.Why != plot.ForEndOf && !m.within(period, second, 0) {
				w.Why, w.Happen = plot.ForGoal, []plot.Happening{aGoal(side)}
				return true
			}
		}
	}
	return false
}

// rest is how long ago a player was called, on the axis of play, before they can
// be called, score or assist again: longer than any penalty.
const rest = entry.Millis(12 * 60_000)

// players names who was called, who scored and who assisted, in the order of the
// game, so that nobody does anything from the box.
func (m *maker) players() {
	abs, before := entry.Millis(0), 0
	for i := range m.plot.Whistles {
		w := &m.plot.Whistles[i]
		for before+1 < w.At.Period {
			before++
			abs += m.plot.Length(before)
		}
		now := abs + w.At.Elapsed
		for j := range w.Happen {
			switch h := &w.Happen[j]; h.What {
			case plot.AGoal:
				m.scorers(h.Goal, now)
			case plot.APenalty:
				if !h.Penalty.Bench {
					h.Penalty.Player = m.draw(h.Penalty.Side, now)
					m.called[h.Penalty.Side.Index()][h.Penalty.Player] = now
				}
				if len(h.Penalty.Parts) > 1 && h.Penalty.Parts[1] == entry.Misconduct || h.Penalty.Bench {
					h.Penalty.ServedBy = m.draw(h.Penalty.Side, now)
					m.called[h.Penalty.Side.Index()][h.Penalty.ServedBy] = now
				}
				h.Mumbled = h.Mumbled || m.luck.Chance(plot.AtLevel[m.order.Level].Noise) && !h.Penalty.Bench
			case plot.ANoGoal, plot.AClockBack, plot.ATimeOut, plot.ARunningTime, plot.AChoice:
			}
		}
	}
}

// draw names the next player of a side who has had nothing to serve for long.
func (m *maker) draw(side entry.Side, now entry.Millis) entry.Jersey {
	i := side.Index()
	for range m.next[i] {
		j := m.next[i][m.place[i]%len(m.next[i])]
		m.place[i]++
		if last, was := m.called[i][j]; !was || now-last > rest {
			return j
		}
	}
	return m.next[i][m.luck.Below(len(m.next[i]))]
}

func (m *maker) scorers(g *entry.Goal, now entry.Millis) {
	g.Scorer = m.draw(g.Side, now)
	for range m.luck.Weighted(assistKinds) {
		if j := m.draw(g.Side, now); j != g.Scorer && !slices.Contains(g.Assists, j) {
			g.Assists = append(g.Assists, j)
		}
	}
	g.Unassisted = len(g.Assists) == 0
}
