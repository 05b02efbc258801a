package rules

import (
	"slices"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/rulebook"
)

// tally is what a player has collected in a game.
type tally struct {
	player                   sideNumber
	penalties, majors, goals int
	misconducts, stick       int
	minutes                  entry.Millis
	sentOff                  bool
}

// count adds a call, but for what the book asks of its kind.
func (n *tally) count(c *Call) {
	n.minutes += c.Charged
	for _, p := range c.Parts {
		if p != entry.GameMisconduct {
			n.penalties++
		}
		if p == entry.Major {
			n.majors++
		}
		if p == entry.Misconduct {
			n.misconducts++
		}
	}
}

// sideNumber is who somebody is in a game.
type sideNumber struct {
	side   entry.Side
	number entry.Jersey
}

// tallies are of few players, so they are looked through.
type tallies []tally

// of gives the tally of a player, until another player's is asked for.
func (t *tallies) of(side entry.Side, number entry.Jersey) *tally {
	for i := range *t {
		if n := &(*t)[i]; n.player.number == number && n.player.side == side {
			return n
		}
	}
	*t = append(*t, tally{player: sideNumber{side, number}})
	return &(*t)[len(*t)-1]
}

// limits says when a count of the book or of the division is reached, so that
// the scorer can tell the referee at once (USA Hockey 507(a), IIHF 35.6). The
// bench does not send anybody off: the referee does, by a call. Until it is
// posted, it is owed.
func (f *folding) limits() {
	s := &f.state
	players := make(tallies, 0, len(f.box.rows))
	for i := len(s.Calls) - 1; i >= 0; i-- { // whoever is sent off later owes nothing
		if c := &s.Calls[i]; slices.ContainsFunc(c.Parts, entry.Part.Ejects) {
			players.of(c.Side, c.Player).sentOff = true
		}
	}
	sticks := f.stickFouls()
	var sides [2]int
	for i := range s.Calls {
		c := &s.Calls[i]
		f.teamLimit(c, &f.came[f.calls[i].play.nth], &sides)
		if c.Player == "" {
			continue
		}
		n := players.of(c.Side, c.Player)
		before := *n
		n.count(c)
		if sticks[c.Call] && !f.wipedWhole(i) {
			n.stick++
		}
		f.limit(c, &f.came[f.calls[i].play.nth], n, before)
	}
	for i := range s.Goals {
		g := &s.Goals[i]
		if most := s.Division.Limits.GoalsByPlayer; most > 0 && g.Scorer != "" {
			n := players.of(g.Side, g.Scorer)
			n.goals++
			if n.goals > most {
				f.overGoals(g, &f.came[f.goals[i].play.nth], n.goals, most)
			}
		}
	}
	f.show()
	if each := s.Division.TimeOut.Each; each > 0 {
		for _, t := range s.Teams {
			if t.TimeOuts > each {
				f.owe("time_outs/"+string(t.Side), "", Say{Key: "owed.time_outs", Args: Pairs("team", t.Name)})
			}
		}
	}
}

func (f *folding) owe(key, id string, say Say) {
	f.state.Owed = append(f.state.Owed, Item{Key: key, Entry: id, Say: say, Aside: f.later[key]})
}

// limit says what a call has brought a player to.
func (f *folding) limit(c *Call, came *outcome, n *tally, before tally) {
	policies, limits := &f.code.Policies, &f.state.Division.Limits
	penalties := policies.PenaltiesToEject
	switch {
	case limits.Penalties > 0:
		penalties = limits.Penalties
	case limits.NoPenalties:
		penalties = 0
	}
	crossed := func(was, is, at int) bool { return at > 0 && was < at && is >= at }
	args := func(count int) Args {
		return Pairs(
			"team", f.box.names[c.Side.Index()], "player", string(c.Player), "count", strconv.Itoa(count),
			"time", c.Moment.Left.Left(),
		)
	}
	reached := false
	say := func(topic rulebook.Topic, key string, count int) {
		reached = true
		came.follows = append(came.follows, f.box.reason(topic, key, args(count)))
	}
	if crossed(before.majors, n.majors, policies.MajorsToEject) {
		say(rulebook.TopicMajors, "follows.limit_majors", n.majors)
	}
	if crossed(before.penalties, n.penalties, penalties) {
		say(rulebook.TopicPenalties, "follows.limit_penalties", n.penalties)
	}
	if crossed(before.stick, n.stick, policies.StickFoulsToEject) {
		say(rulebook.TopicStick, "follows.limit_stick", n.stick)
	}
	if crossed(int(before.minutes), int(n.minutes), int(limits.Minutes)) {
		say(rulebook.TopicPenalties, "follows.limit_minutes", int(n.minutes/60_000))
	}
	// The call itself says what a misconduct too many means.
	reached = reached || crossed(before.misconducts, n.misconducts, policies.MisconductsToEject)
	if reached && !n.sentOff {
		f.owe("ejected/"+c.Entry, c.Entry, Say{Key: "owed.ejected", Args: args(0)})
	}
}

// stickFouls are the calls that are stick fouls, where the book counts them.
func (f *folding) stickFouls() map[string]bool {
	if f.code.Policies.StickFoulsToEject == 0 {
		return nil
	}
	out := map[string]bool{}
	for _, c := range f.code.Calls {
		out[c.ID] = c.Stick
	}
	return out
}

// wipedWhole reports whether a goal wiped out all that was called.
func (f *folding) wipedWhole(call int) bool {
	return !slices.ContainsFunc(f.calls[call].parts, func(p calledPart) bool { return !p.wiped })
}

// teamLimit says when a side's penalties suspend its head coach (USA Hockey
// 401(b)). They are counted as a player's are.
func (f *folding) teamLimit(c *Call, came *outcome, sides *[2]int) {
	limits, most := &f.state.Division.Limits, f.code.Policies.TeamPenalties
	switch {
	case limits.TeamPenalties > 0:
		most = limits.TeamPenalties
	case limits.NoPenalties:
		most = 0
	}
	i := c.Side.Index()
	before := sides[i]
	for _, p := range c.Parts {
		if p != entry.GameMisconduct {
			sides[i]++
		}
	}
	if most == 0 || before >= most || sides[i] < most {
		return
	}
	args := Pairs("team", f.box.names[i], "count", strconv.Itoa(sides[i]))
	came.follows = append(came.follows, f.box.reason(rulebook.TopicTeam, "follows.limit_team", args))
	f.coaches[i] = sides[i]
}

func (f *folding) overGoals(g *Goal, came *outcome, count, most int) {
	args := Pairs(
		"team", f.box.names[g.Side.Index()], "player", string(g.Scorer), "count", strconv.Itoa(count),
		"most", strconv.Itoa(most), "time", g.Moment.Left.Left(),
	)
	came.follows = append(came.follows, Reason{
		Code: f.state.Division.ID, Say: Say{Key: "follows.limit_goals", Args: args},
	})
	f.owe("goal_limit/"+g.Entry, g.Entry, Say{Key: "owed.goal_limit", Args: args})
}

// show works out the score for the public display. Some youth bodies never show
// a lead above so many goals; the sheet has every goal.
func (f *folding) show() {
	t := &f.state.Teams
	for i := range t {
		t[i].Shown = t[i].Score
		if most := f.state.Division.Display.LeadAtMost; most > 0 {
			t[i].Shown = min(t[i].Score, t[1-i].Score+most)
		}
	}
}
