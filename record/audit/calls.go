package audit

import (
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/record/report"
)

// calls looks at every line of the penalties.
func (a *auditor) calls() {
	owed := map[string][]string{} // what the rules owe, by entry
	for _, item := range a.state.Owed {
		what, id, found := strings.Cut(item.Key, "/")
		if found {
			owed[id] = append(owed[id], what)
		}
	}
	for i := 0; i < len(a.s.Calls); {
		n := callLines(a.s.Calls[i:])
		c := &a.s.Calls[i]
		for _, what := range owed[callID(c, i)] {
			switch what {
			case "serves":
				a.find(ServerMissing, ofLines, c.Place, c.Player, "player", calledArg(c))
			case "ejected":
				a.unsaidEjection(i)
			}
		}
		a.callPlayers(c)
		i += n
	}
	for i := range a.s.Calls {
		c := &a.s.Calls[i]
		if want := a.minutes(c); c.Charged != nil && *c.Charged != want && !(c.Wiped && *c.Charged == a.full(c)) {
			f := a.find(Minutes, ofLines, c.Place, c.Player,
				"player", calledArg(c), "part", partWords(c), "claimed", c.Charged.String(), "right", want.String())
			f.Why.Code, f.Why.Rule = a.code.ID, a.code.Rules[topicOf(c)].Rule
		}
		if a.endMissing(i) {
			a.find(EndMissing, ofLines, c.Place, c.Player, "player", calledArg(c), "part", partWords(c))
		}
		for _, bad := range a.badTimes(i) {
			f := a.find(bad.kind, ofLines, c.Place, c.Player,
				"player", calledArg(c), "part", partWords(c),
				"claimed", a.clock(bad.claimed), "claimed_period", a.period(bad.claimed.Period),
				"right", a.clock(bad.right), "right_period", a.period(bad.right.Period))
			f.Why.Code, f.Why.Rule = a.code.ID, a.code.Rules[bad.topic].Rule
			f.Why.Say.Key += "." + bad.why
		}
	}
	if !a.s.Exact {
		return // a sheet does not say whom a captain named
	}
	for _, item := range a.state.Owed {
		if item.Say.Key == "owed.choice" {
			f := a.find(ChoiceUnanswered, ofTotals, Place{}, "", "players", item.Say.Args.Get("players"))
			f.detail = item.Key
			f.What.Args = append(f.What.Args, item.Say.Args...)
		}
	}
}

// calledArg names who was called.
func calledArg(c *SheetCall) string {
	if c.Bench {
		return "@player.the_bench"
	}
	return playerArg(c.Player)
}

func partWords(c *SheetCall) string {
	if len(c.Parts) == 2 && c.Parts[0].IsMinor() && c.Parts[1].IsMinor() {
		return "@parts.minor_minor"
	}
	if len(c.Parts) == 1 {
		return "@part." + string(c.Parts[0])
	}
	return "@parts.several"
}

func topicOf(c *SheetCall) rulebook.Topic {
	switch {
	case len(c.Parts) > 1:
		return rulebook.TopicDoubleMinor
	case len(c.Parts) == 0:
		return rulebook.TopicMinor
	}
	switch c.Parts[0] {
	case entry.Minor:
		return rulebook.TopicMinor
	case entry.BenchMinor:
		return rulebook.TopicBenchMinor
	case entry.Major:
		return rulebook.TopicMajor
	case entry.Misconduct:
		return rulebook.TopicMisconduct
	case entry.GameMisconduct:
		return rulebook.TopicEjected
	case entry.Match:
		return rulebook.TopicMatch
	case entry.PenaltyShot:
		return rulebook.TopicShot
	default:
		return rulebook.TopicMinor
	}
}

// unsaidEjection says that a player has reached a count of the book without
// being sent off.
func (a *auditor) unsaidEjection(i int) {
	c := &a.s.Calls[i]
	f := a.find(EjectionUnsaid, ofLines, c.Place, c.Player)
	f.Why.Code, f.Why.Rule = a.code.ID, a.code.Rules[rulebook.TopicPenalties].Rule
	for _, line := range a.state.Lines {
		if line.Entry != callID(c, i) {
			continue
		}
		for _, reason := range line.Follows {
			if strings.HasPrefix(reason.Say.Key, "follows.limit_") || reason.Say.Key == "follows.misconduct_count" {
				f.Why = reason
			}
		}
	}
}

// callPlayers looks at who was called and who serves.
func (a *auditor) callPlayers(c *SheetCall) {
	if c.Player == "" && !c.Bench {
		a.find(PlayerMissing, ofLines, c.Place, "")
	}
	if c.Call == "" && !c.Nameless {
		a.find(CallMissing, ofLines, c.Place, c.Player, "player", calledArg(c))
	}
	a.takesPart(c.Place, c.Player)
	if t, sat := a.inBox(c.Place, c.Player); sat && !c.NoTime && playCall(c) {
		a.find(CalledInBox, ofLines, c.Place, c.Player, a.penaltyArgs(t)...)
	}
	if c.ServedBy == "" || c.ServedBy == c.Player {
		return
	}
	a.takesPart(c.Place, c.ServedBy)
	if t, sat := a.inBox(c.Place, c.ServedBy); sat && !c.NoTime && t.Player != c.Player {
		a.find(ServerSits, ofLines, c.Place, c.ServedBy, a.penaltyArgs(t)...)
	}
	if a.isGoalkeeper(c.Side, c.ServedBy) {
		a.find(ServerKeeps, ofLines, c.Place, c.ServedBy)
	}
}

// playCall reports whether a call is for a foul that only somebody on the ice
// can commit. Words and conduct are called on players in the box as well.
func playCall(c *SheetCall) bool {
	switch c.Call {
	case "", "other", "unsportsmanlike", "abuse_of_officials", "bench_conduct", "fighting", "thrown_stick",
		"delay_of_game", "equipment", "roughing":
		return false
	}
	for _, part := range c.Parts {
		if part == entry.Minor || part == entry.Major || part == entry.Match {
			return true
		}
	}
	return false
}

// minutes returns the minutes that a line is written with.
func (a *auditor) minutes(c *SheetCall) entry.Millis {
	if c.Wiped {
		return 0
	}
	return a.full(c)
}

// full returns the minutes of a line as if nothing had been wiped out.
func (a *auditor) full(c *SheetCall) entry.Millis {
	sum := entry.Millis(0)
	for _, part := range c.Parts {
		switch {
		case part == entry.PenaltyShot:
		case part == entry.GameMisconduct:
			sum += a.code.Charges.GameMisconduct
		case part == entry.Match:
			sum += a.code.Charges.Match
		case c.Given > 0:
			sum += c.Given
		default:
			sum += a.s.Division.LengthOf(part, c.At.Period > len(a.s.Division.Periods))
		}
	}
	return sum
}

// endMissing reports whether a sheet that writes when penalties were over leaves
// it out for one that was over before the game was.
func (a *auditor) endMissing(i int) bool {
	c := &a.s.Calls[i]
	if c.Endless || c.NoTime || c.Wiped || c.On != nil || c.End != nil {
		return false
	}
	_, last := a.terms(i)
	return last != nil && last.End.Abs > last.Start.Abs && last.End.Abs+a.slack < a.played()
}

// badTime is a written time of a penalty that does not follow from the rules.
type badTime struct {
	kind           Kind
	claimed, right entry.At
	topic          rulebook.Topic
	why            string
}

// badTimes compares the written times of a line with those that the rules give.
func (a *auditor) badTimes(i int) []badTime {
	c := &a.s.Calls[i]
	if c.NoTime || c.Start == nil && c.End == nil && c.On == nil || c.Wiped {
		return nil
	}
	first, last := a.terms(i)
	if first == nil {
		return nil
	}
	var bad []badTime
	differs := func(claimed entry.At, m rules.Moment) bool {
		d := a.abs(claimed) - m.Abs
		return d > a.slack || -d > a.slack
	}
	// A sheet writes when a coincidental penalty was called; the rules start it
	// when the player's other penalties are over.
	if c.Start != nil && differs(*c.Start, first.Start) && (a.s.Exact || first.Costs) {
		topic := rulebook.TopicMinor
		why := "time"
		if first.Waits {
			topic, why = rulebook.TopicWaits, "waits"
		}
		bad = append(bad, badTime{StartTime, *c.Start, atOf(first.Start), topic, why})
	}
	release := badTime{kind: ReleaseTime, right: atOf(last.End), topic: topicOf(c), why: endWords(last)}
	if last.Ended == rules.ByGoal {
		release.topic = rulebook.TopicGoalEnds
	}
	switch {
	case c.End != nil && differs(*c.End, last.End):
		release.claimed = *c.End
		bad = append(bad, release)
	case c.On != nil && !a.leftRight(*c.On, last):
		release.claimed = *c.On
		bad = append(bad, release)
	}
	return bad
}

func endWords(t *rules.Term) string {
	switch t.Ended {
	case rules.ByGoal:
		return "goal"
	case rules.Wiped, rules.NotServed, rules.ByTime:
		return "time"
	default:
		return "time"
	}
}

// leftRight reports whether somebody may have left the box at a moment: when the
// time was over, or from then on up to the whistle that let the player out.
func (a *auditor) leftRight(on entry.At, t *rules.Term) bool {
	abs := a.abs(on)
	near := func(o entry.Millis) bool { return abs-o <= a.slack && o-abs <= a.slack }
	if near(t.End.Abs) || t.Out != nil && near(t.Out.Abs) {
		return true
	}
	if a.s.Exact && t.Out != nil {
		return false
	}
	// Which whistle it was a sheet does not tell: any after the time is over.
	return (!t.Costs || t.Door != rules.AtEnd) && abs > t.End.Abs
}

func atOf(m rules.Moment) entry.At { return entry.At{Period: m.Period, Elapsed: m.Elapsed} }

// terms returns the terms of the first and of the last part of a line; nothing
// where none is served.
func (a *auditor) terms(i int) (first, last *rules.Term) {
	c := &a.s.Calls[i]
	for part := range c.Parts {
		id := report.PartID(a.entryOf(i), c.First+part)
		for n := range a.state.Terms {
			t := &a.state.Terms[n]
			if t.ID != id || t.Ended == rules.Wiped || t.Ended == rules.NotServed {
				continue
			}
			if first == nil {
				first = t
			}
			last = t
		}
	}
	return first, last
}

// entryOf returns the id under which a line was played: that of the first line of
// its call.
func (a *auditor) entryOf(i int) string { return callID(&a.s.Calls[i], i) }
