package rules

import "whistlestop/game/entry"

// owed lists what is missing, or looks wrong, before the report can be sealed.
func (f *folding) owed() {
	for _, g := range f.goals {
		f.owedGoal(g)
	}
	for _, c := range f.calls {
		f.owedCall(c)
	}
	for _, t := range f.state.Teams {
		f.owedRoster(t)
	}
	if b := f.state.Book; len(b.Seals) > 0 && !b.Sealed {
		f.owe("reseal", "", Say{Key: "owed.reseal"})
	}
}

// about is the moment and the side that something is owed for.
type about struct {
	id   string
	side entry.Side
	at   entry.At
}

// oweFor owes one thing about an entry; number is the sweater that it is about.
func (f *folding) oweFor(a about, what, key, number string) {
	f.owe(what+"/"+a.id, a.id, Say{Key: key, Args: Pairs(
		"team", f.box.names[a.side.Index()], "player", number,
		"time", f.box.axis.clockOf(f.box.axis.abs(a.at)),
	)})
}

func (f *folding) owedGoal(g *goalAt) {
	a := about{g.play.id, g.Side, g.at}
	if g.Scorer == "" && !g.OwnGoal {
		f.oweFor(a, "scorer", "owed.scorer", "")
	}
	f.owedPlayer(a, g.Scorer, true)
	for _, assist := range g.Assists {
		if assist == "" {
			f.oweFor(a, "assist", "owed.assist", "")
		}
		f.owedPlayer(a, assist, true)
	}
}

func (f *folding) owedCall(c *called) {
	a := about{c.play.id, c.Side, c.at}
	who := playerArg(c.Player, c.Bench)
	if c.Player == "" && !c.Bench {
		f.oweFor(a, "player", "owed.player", who)
	}
	if c.Call.Call == "" {
		f.oweFor(a, "call", "owed.call", who)
	}
	f.owedPlayer(a, c.Player, false)
	f.owedPlayer(a, c.servedBy, false)
	if c.servedBy != "" && f.box.isGoalkeeper(c.Side, c.servedBy) {
		f.oweFor(a, "server_keeps", "owed.server_keeps", string(c.servedBy))
	}
	if j := f.box.unseated[c.play.id]; j != "" {
		f.oweFor(a, "server_penalised", "owed.server_penalised", string(j))
		return
	}
	for i := range c.parts {
		p := &c.parts[i]
		t := p.term
		empty := t.Door == NoDoor && t.Out != nil
		if t.Costs && t.Sits == "" && !empty && (c.Player != "" || c.Bench) {
			f.oweFor(a, "serves", "owed.serves", who)
			return
		}
	}
}

// owedPlayer owes a look at a number that is not on the roster or does not take
// part, at a player who was sent off before, and at a scorer who sat in the box.
// A side without a roster owes nothing for it.
func (f *folding) owedPlayer(a about, j entry.Jersey, scores bool) {
	if j == "" {
		return
	}
	players := f.box.players[a.side.Index()]
	known := len(players) == 0
	for i := nextWith(players, j, 0); i < len(players); i = nextWith(players, j, i+1) {
		known = true
		if !players[i].Status.Plays() {
			f.oweFor(a, "away/"+string(j), "owed.away", string(j))
		}
	}
	if !known {
		f.oweFor(a, "roster/"+string(j), "owed.roster", string(j))
	}
	if f.sentOff(a, j) {
		f.oweFor(a, "out/"+string(j), "owed.out", string(j))
	}
	if scores && f.inBox(a, j) {
		f.oweFor(a, "in_box/"+string(j), "owed.in_box", string(j))
	}
}

// sentOff reports whether a player was sent off at an earlier whistle.
func (f *folding) sentOff(a about, j entry.Jersey) bool {
	misconducts, most := 0, f.code.Policies.MisconductsToEject
	for _, c := range f.grave {
		if c.Side != a.side || c.Player != j || moment(c.at).Compare(moment(a.at)) >= 0 {
			continue
		}
		for _, part := range c.Parts {
			if part == entry.Misconduct {
				misconducts++
			}
			if part.Ejects() || most > 0 && misconducts >= most {
				return true
			}
		}
	}
	return false
}

// inBox reports whether a player sat in the box when something happened, for a
// penalty that was called before it.
func (f *folding) inBox(a about, j entry.Jersey) bool {
	at := f.box.axis.abs(a.at)
	for i := range f.state.Terms {
		t := &f.state.Terms[i]
		if t.Start.Abs >= at {
			continue
		}
		gone := t.End.Abs
		if t.Out != nil {
			gone = t.Out.Abs
		}
		if gone <= at || t.Side != a.side || t.Entry == a.id || t.Ended == Wiped || t.Ended == NotServed {
			continue
		}
		if t.Sits == j || t.Player == j && !t.Bench && !f.box.isGoalkeeper(a.side, j) { // a teammate serves for a goalkeeper
			return true
		}
	}
	return false
}

// owedRoster owes a look at a roster that is longer than the division allows.
func (f *folding) owedRoster(t Team) {
	most := f.state.Division.Limits.Dressed
	dressed := 0
	for i := range t.Players {
		if t.Players[i].Status.Plays() {
			dressed++
		}
	}
	if most == 0 || dressed <= most {
		return
	}
	f.owe("dressed/"+string(t.Side), "", Say{Key: "owed.dressed", Args: Pairs(
		"team", t.Name, "count", number(dressed), "most", number(most),
	)})
}
