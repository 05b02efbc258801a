package audit

import (
	"strconv"
	"strings"

	"whistlestop/game/entry"
)

// teams looks at the rosters.
func (a *auditor) teams() {
	for i, side := range entry.Sides {
		if len(a.s.Teams[i].Players) > 0 {
			a.members(side, a.s.Teams[i].Players)
		}
	}
	for _, t := range a.s.TimeOuts {
		if t.Side.Valid() {
			a.moment(t.Place)
		}
	}
	a.timeOuts()
}

// members looks at the roster of one side.
func (a *auditor) members(side entry.Side, players []SheetMember) {
	seen := map[entry.Jersey]bool{}
	captains, alternates, goalkeepers, dressed := 0, 0, 0, 0
	place := Place{Side: side}
	for n := range players {
		m := &players[n]
		at := Place{Side: side, Row: m.Row}
		if m.Number != "" && seen[m.Number] {
			a.find(NumberTwice, ofTeams, at, m.Number)
		}
		seen[m.Number] = true
		if m.Away != "" {
			continue
		}
		dressed++
		if m.Goalkeeper {
			goalkeepers++
		}
		if m.Captain {
			captains++
		}
		if m.Alternate {
			alternates++
		}
		if (m.Captain || m.Alternate) && m.Goalkeeper && a.bookOf("iihf", "nhl") {
			a.find(CaptainKeeps, ofTeams, at, m.Number)
		}
	}
	if captains > 1 {
		a.find(CaptainsMany, ofTeams, place, "", "count", strconv.Itoa(captains))
	}
	if alternates > 2 {
		a.find(AlternatesMany, ofTeams, place, "", "count", strconv.Itoa(alternates))
	}
	if goalkeepers > 2 && a.bookOf("iihf") {
		a.find(GoalkeepersMany, ofTeams, place, "", "count", strconv.Itoa(goalkeepers))
	}
	a.rosterSize(place, dressed, dressed-goalkeepers)
}

// bookOf reports whether the game's code is of one of these families of books.
func (a *auditor) bookOf(families ...string) bool {
	for _, family := range families {
		if strings.HasPrefix(a.code.ID, family) {
			return true
		}
	}
	return false
}

// rosterSize holds the roster against the division's limits.
func (a *auditor) rosterSize(place Place, dressed, skaters int) {
	l := a.s.Division.Limits
	if l.Dressed > 0 && dressed > l.Dressed {
		f := a.find(RosterLong, ofTeams, place, "", "count", strconv.Itoa(dressed), "most", strconv.Itoa(l.Dressed))
		f.Why.Code = a.s.Division.ID
	}
	if l.LeastPlayers > 0 && dressed < l.LeastPlayers || l.LeastSkaters > 0 && skaters < l.LeastSkaters {
		f := a.find(RosterShort, ofTeams, place, "", "count", strconv.Itoa(dressed), "skaters", strconv.Itoa(skaters),
			"least", strconv.Itoa(max(l.LeastPlayers, l.LeastSkaters)))
		f.Why.Code = a.s.Division.ID
	}
}

// timeOuts counts time-outs against the division's allowance.
func (a *auditor) timeOuts() {
	each := a.s.Division.TimeOut.Each
	if each == 0 {
		return
	}
	taken := [2]int{}
	for _, t := range a.s.TimeOuts {
		if !t.Side.Valid() {
			continue // the officials' own
		}
		i := t.Side.Index()
		taken[i]++
		if taken[i] == each+1 {
			f := a.find(TimeOutsMany, ofLines, t.Place, "", "most", strconv.Itoa(each))
			f.Why.Code = a.s.Division.ID
		}
	}
}

// endOfGame looks at how the game was decided.
func (a *auditor) endOfGame() {
	regulation := len(a.s.Division.Periods)
	score, decided := [2]int{}, (*Place)(nil)
	overtimeSeen, untied := false, false
	for i := range a.s.Goals {
		g := &a.s.Goals[i]
		if g.NoTime || !g.Side.Valid() {
			continue
		}
		if g.At.Period > regulation && !overtimeSeen {
			overtimeSeen, untied = true, score[0] != score[1]
		}
		if decided != nil {
			a.find(GoalAfterEnd, ofLines, g.Place, g.Scorer, "end", a.clock(decided.At), "end_period", a.period(decided.At.Period))
			continue
		}
		score[g.Side.Index()]++
		if a.suddenDeath(g.At.Period) && !untied {
			decided = &g.Place
		}
	}
	tied := score[0] == score[1]
	overtime := 0
	for _, p := range a.s.Periods {
		if p.Period > regulation {
			overtime = p.Period
			break
		}
	}
	if overtime > 0 && (untied || !overtimeSeen && !tied) {
		a.find(OvertimeUntied, ofTotals, Place{At: entry.At{Period: overtime}}, "", "score", scoreWords(a.after(regulation)))
	}
	a.shootOut(tied)
}

// suddenDeath reports whether the first goal of a period ends the game.
func (a *auditor) suddenDeath(period int) bool {
	d := a.s.Division
	n := period - len(d.Periods)
	if n < 1 {
		return false
	}
	if d.Overtime.SuddenDeath {
		return true
	}
	return len(d.Overtime.Periods) > 0 && d.Overtime.Periods[min(n, len(d.Overtime.Periods))-1].SuddenDeath
}

// after returns the score after a period.
func (a *auditor) after(period int) [2]int {
	score := [2]int{}
	for i := range a.s.Goals {
		if g := &a.s.Goals[i]; !g.NoTime && g.Side.Valid() && g.At.Period <= period {
			score[g.Side.Index()]++
		}
	}
	return score
}

// shootOutGoals counts what each side scored in a shoot-out, and says whether
// there was one.
func shootOutGoals(attempts []SheetAttempt) (goals [2]int, any bool) {
	for i := range attempts {
		t := &attempts[i]
		if !t.ShootOut || !t.Side.Valid() {
			continue
		}
		any = true
		if t.Scored {
			goals[t.Side.Index()]++
		}
	}
	return goals, any
}

// shootOutWinner is whoever scored more often in a shoot-out.
func shootOutWinner(attempts []SheetAttempt) entry.Side {
	switch goals, _ := shootOutGoals(attempts); {
	case goals[0] > goals[1]:
		return entry.Home
	case goals[1] > goals[0]:
		return entry.Visitors
	default:
		return ""
	}
}

// shootOut looks at the attempts of a shoot-out, and at who won it.
func (a *auditor) shootOut(tied bool) {
	for i := range a.s.Attempts {
		a.takesPart(a.s.Attempts[i].Place, a.s.Attempts[i].Player)
	}
	goals, any := shootOutGoals(a.s.Attempts)
	if (any || a.s.ShootOut.Valid()) && !tied && !a.s.Division.ShootOut.Always {
		a.find(ShootOutUntied, ofTotals, Place{}, "")
	}
	if winner := a.s.ShootOut; winner.Valid() && goals != [2]int{} && goals[winner.Index()] <= goals[1-winner.Index()] {
		a.find(ShootOutWinner, ofTotals, Place{Side: winner}, "", "goals", scoreWords(goals))
	}
}
