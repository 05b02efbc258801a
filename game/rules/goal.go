package rules

import (
	"cmp"
	"slices"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// goalAt is a goal at a stoppage while it is worked out. What the record says of it
// is written there at once.
type goalAt struct {
	*Goal
	play  *play
	at    entry.At // of the play, on the axis
	ended bool     // it ended a minor
}

// goal works out what a goal ends. Two questions decide it: is the side that
// was scored on short-handed, and does it serve a minor that a goal may end? If
// both, the minor with the least time left ends (IIHF 16.2, NHL 16.2, USA
// Hockey 402(c) with casebook 402, Hockey Canada 4.2(b)).
func (b *box) goal(g *goalAt, calls []*called) {
	t := b.axis.abs(g.at)
	g.Skaters = b.skaters
	against := g.Side.Other()
	mine, theirs := b.skaters[g.Side.Index()], b.skaters[against.Index()]
	switch {
	case mine > theirs:
		g.Class = PowerPlay
	case mine < theirs:
		g.Class = ShortHanded
	default:
		g.Class = EvenStrength
	}
	say := func(topic rulebook.Topic, key string, args Args) {
		g.Reasons = append(g.Reasons, b.reason(topic, key, args))
	}
	minors := b.endable(against)
	switch {
	case g.On == entry.OnPenaltyShot:
		say(rulebook.TopicGoalShot, "follows.goal_on_shot", nil)
	case g.On == entry.OnAwarded && !b.code.Policies.AwardedGoalEnds:
		say(rulebook.TopicGoalAwarded, "follows.goal_awarded", nil)
	case g.Class == ShortHanded && b.division.ShortGoalFrees && len(b.endable(g.Side)) > 0:
		b.endMinor(g, b.endable(g.Side), t)
		g.ended = false // a call signalled against the other side is not paid by this
	case g.Class == ShortHanded:
		say(rulebook.TopicGoalEnds, "follows.goal_short", b.teamArg(g.Side))
	case g.Class == EvenStrength && len(minors) > 0 && b.wouldBeShort(against, calls):
		b.endMinor(g, minors, t)
	case g.Class == EvenStrength && len(b.side(against).running) > 0:
		say(rulebook.TopicGoalEnds, "follows.goal_equal", b.teamArg(against))
	case g.Class == PowerPlay && len(minors) == 0:
		key := "follows.goal_major"
		if b.anyFour(against) {
			key = "follows.goal_matched"
		}
		say(rulebook.TopicGoalEnds, key, b.teamArg(against))
	case g.Class == PowerPlay:
		b.endMinor(g, minors, t)
	}
}

// wouldBeShort reports whether a minor is signalled that would make a side short,
// and the book lets a goal end a running minor for that. The one signalled has
// its whole time left, so none has more (Hockey Canada 4.2(b) with note 1).
func (b *box) wouldBeShort(side entry.Side, calls []*called) bool {
	return b.code.Policies.SignalledCounts && slices.ContainsFunc(calls, func(c *called) bool {
		return c.Side == side && c.signalled && slices.ContainsFunc(c.Parts, entry.Part.IsMinor)
	})
}

// endable lists the slots of a side whose running term a goal may end.
func (b *box) endable(side entry.Side) []*slot {
	running := b.side(side).running
	out := b.room.lists.take(len(running))[:0]
	for _, s := range running {
		if s.term().GoalEnds {
			out = append(out, s)
		}
	}
	return out
}

func (b *box) anyFour(side entry.Side) bool {
	return slices.ContainsFunc(b.side(side).running, func(s *slot) bool {
		return s.term().Matched && s.term().Part.IsMinor()
	})
}

// endMinor ends the minor with the least time left. Of two with the same time
// left the captain says which.
func (b *box) endMinor(g *goalAt, minors []*slot, t entry.Millis) {
	entry.Arrange(minors, func(x, y *slot) int { return cmp.Compare(x.term().ends, y.term().ends) })
	s := minors[0]
	same := 1
	for same < len(minors) && minors[same].term().ends == s.term().ends {
		same++
	}
	if same > 1 {
		s = b.firstOut(s.side, minors[:same], t, true)[0]
	}
	over := s.term()
	left := over.ends - t
	args := b.room.pairs(
		"team", b.names[s.side.Index()], "player", servedFor(s.row.player, over.Bench),
		"left", left.Left(), "gate", gateArg(s.side), "sits", playerArg(s.sits(), false),
	)
	g.ended = true
	waiting := len(b.side(s.side).waiting)
	key := "follows.ends_minor"
	topic := rulebook.TopicGoalEnds
	switch {
	case s.now+1 < len(s.terms) && s.terms[s.now+1].Part.IsMinor():
		key, topic = "follows.ends_half", rulebook.TopicDoubleMinor
	case s.now+1 < len(s.terms):
		key = "follows.ends_minor_stays"
	case s.sits() == "":
		key = "follows.ends_minor_server"
	case s.sits() != s.row.player && len(s.row.off) > 0:
		key, topic = "follows.ends_minor_misconduct", rulebook.TopicMinorAndMore
	case s.sits() != s.row.player:
		key = "follows.ends_minor_for"
	}
	reason := b.reason(topic, key, args)
	g.Reasons = append(g.Reasons, reason)
	over.Reasons = append(over.Reasons, reason)
	b.endTerm(s, t, ByGoal)
	if bx := b.side(s.side); len(bx.waiting) < waiting {
		next := bx.running[len(bx.running)-1]
		g.Reasons = append(g.Reasons, b.reason(rulebook.TopicWaits, "follows.waiting_starts", b.room.pairs(
			"team", args.Get("team"), "player", playerArg(next.row.player, next.term().Bench),
			"out", b.axis.clockOf(next.term().ends),
		)))
	}
}

func (b *box) teamArg(side entry.Side) Args { return b.room.pairs("team", b.names[side.Index()]) }

// servedFor is the player for whom somebody sits.
func servedFor(j entry.Jersey, bench bool) string {
	if bench {
		return "@player.the_bench"
	}
	return playerArg(j, false)
}

// playerArg is a player as an argument of a Say.
func playerArg(j entry.Jersey, bench bool) string {
	switch {
	case bench:
		return "@player.bench"
	case j == "":
		return "@player.owed"
	default:
		return string(j)
	}
}
