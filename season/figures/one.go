package figures

// Winning is the index of the game-winning goal: the winner's goal that is one more
// than all of the loser's (NHL glossary: of an 8-3 game the fourth). It is known only
// when the final score is; a game that a shoot-out decided has none, nor has a draw.
func (g Game) Winning() (int, bool) {
	if g.Decided == Drawn || g.Decided == InShootOut {
		return 0, false
	}
	against, own := 0, 0
	for _, goal := range g.Goals {
		if goal.Side != g.Winner {
			against++
		}
	}
	for i, goal := range g.Goals {
		if goal.Side == g.Winner {
			if own++; own == against+1 {
				return i, true
			}
		}
	}
	return 0, false
}

// LeadKept is the index of the goal that gave a lead that was never lost again: the
// other definition of a game-winning goal, for leagues that go by it.
func (g Game) LeadKept() (int, bool) {
	if g.Decided == Drawn || g.Decided == InShootOut {
		return 0, false
	}
	lead, at, found := 0, 0, false
	for i, goal := range g.Goals {
		if goal.Side == g.Winner {
			if lead++; lead == 1 {
				at, found = i, true
			}
		} else {
			lead--
		}
	}
	return at, found
}

// tying is the index of the goal that made a draw's score equal for good.
func (g Game) tying() (int, bool) {
	level, at, found := 0, 0, false
	for i, goal := range g.Goals {
		if goal.Side == Home {
			level++
		} else {
			level--
		}
		if level == 0 {
			at, found = i, true
		}
	}
	return at, found
}

// Result is what a goalkeeper's record gets of a game.
type Result int8

// The results. At most one goalkeeper of a side has one.
const (
	NoDecision Result = iota
	Win
	Loss
	LateLoss // in overtime or a shoot-out
	Draw
)

// Decision is whose record a game goes to: who was in the net when the game-winning
// goal was scored, of a draw the goal that made it one, of a shoot-out who kept the
// net last (NHL glossary; the last one from memory). Where the net was empty just
// then, it is who had left it.
func (g Game) Decision(side Side) (Person, Result) {
	end := At{Period: 1 << 20}
	at := end
	i, found := g.Winning()
	if g.Decided == Drawn {
		i, found = g.tying()
	}
	if found {
		at = g.Goals[i].At
	}
	who, known := g.keeperAt(side, at)
	if !known {
		return "", NoDecision
	}
	switch {
	case g.Decided == Drawn:
		return who, Draw
	case side == g.Winner:
		return who, Win
	case g.Decided == InRegulation:
		return who, Loss
	}
	return who, LateLoss
}

// keeperAt is who was in a net when a goal fell: whoever came at that very second
// came after it, at the whistle.
func (g Game) keeperAt(side Side, at At) (Person, bool) {
	var last Net
	found := false
	for _, net := range g.Nets {
		if net.Side != side {
			continue
		}
		came := net.From.before(at) || net.From == at && (net.From == At{Period: 1})
		if came && (!found || !net.From.before(last.From)) {
			last, found = net, true
		}
	}
	if found {
		return last.Who, true
	}
	// No log of the nets: a goalkeeper who was the only one kept it throughout.
	var only []Person
	for _, keeper := range g.Keepers {
		if keeper.Side == side && keeper.Seconds > 0 {
			only = append(only, keeper.Who)
		}
	}
	if len(only) == 1 {
		return only[0], true
	}
	return "", false
}

// Shutout is who kept a clean sheet: no goal against the team in play, and one
// goalkeeper throughout. Shared by two, it is the team's alone.
func (g Game) Shutout(side Side) (Person, bool) {
	for _, goal := range g.Goals {
		if goal.Side != side {
			return "", false
		}
	}
	var who Person
	count := 0
	for _, keeper := range g.Keepers {
		if keeper.Side == side && keeper.Seconds > 0 {
			who = keeper.Who
			count++
		}
	}
	return who, count == 1
}

// counts says whether a goal goes into plus and minus: not on a power play, not
// from a penalty shot (NHL glossary).
func (g Goal) counts() bool { return !g.PowerPlay && !g.PenaltyShot }
