package rules

import "whistlestop/entry"

// owed lists what is missing, or looks wrong, before the report can be sealed.
func (f *folding) owed() {
	for _, g := range f.goals {
		args := Args{
			{"team", f.box.names[g.g.Side.Index()]}, {"time", f.box.axis.clockOf(f.box.axis.abs(g.play.at))},
			{"player", playerArg(g.g.Scorer, false)},
		}
		owe := func(what, key string) {
			f.state.Owed = append(f.state.Owed, Item{
				Key: what + "/" + g.play.id, Entry: g.play.id, Say: Say{Key: key, Args: args},
			})
		}
		if g.g.Scorer == "" && !g.g.OwnGoal {
			owe("scorer", "owed.scorer")
		}
		f.unknown(g.play.id, g.g.Side, g.g.Scorer, args.Get("time"))
		for _, a := range g.g.Assists {
			if a == "" {
				owe("assist", "owed.assist")
			}
			f.unknown(g.play.id, g.g.Side, a, args.Get("time"))
		}
		for _, j := range append([]entry.Jersey{g.g.Scorer}, g.g.Assists...) {
			if j != "" && f.inBox(g.g.Side, j, f.box.axis.abs(g.play.at), g.play.id) {
				args := Args{{"team", args.Get("team")}, {"player", string(j)}, {"time", args.Get("time")}}
				f.state.Owed = append(f.state.Owed, Item{
					Key: "in_box/" + string(j) + "/" + g.play.id, Entry: g.play.id,
					Say: Say{Key: "owed.in_box", Args: args},
				})
			}
		}
	}
	for _, c := range f.calls {
		args := Args{
			{"team", f.box.names[c.p.Side.Index()]}, {"time", f.box.axis.clockOf(f.box.axis.abs(c.play.at))},
			{"player", playerArg(c.p.Player, c.p.Bench)},
		}
		owe := func(what, key string) {
			f.state.Owed = append(f.state.Owed, Item{
				Key: what + "/" + c.play.id, Entry: c.play.id, Say: Say{Key: key, Args: args},
			})
		}
		if c.p.Player == "" && !c.p.Bench {
			owe("player", "owed.player")
		}
		if c.p.Call == "" {
			owe("call", "owed.call")
		}
		f.unknown(c.play.id, c.p.Side, c.p.Player, args.Get("time"))
		f.unknown(c.play.id, c.p.Side, c.p.ServedBy, args.Get("time"))
		for _, t := range f.state.Terms {
			if t.Entry == c.play.id && t.Costs && t.Sits == "" && !(t.Door == NoDoor && t.Out != nil) &&
				(c.p.Player != "" || c.p.Bench) {
				owe("serves", "owed.serves")
				break
			}
		}
	}
}

// unknown owes a look at a number that is not on the roster. A side without a
// roster owes nothing.
func (f *folding) unknown(id string, side entry.Side, j entry.Jersey, time string) {
	players := f.box.players[side.Index()]
	if j == "" || len(players) == 0 {
		return
	}
	for _, p := range players {
		if p.Number == j {
			return
		}
	}
	f.state.Owed = append(f.state.Owed, Item{
		Key: "roster/" + string(j) + "/" + id, Entry: id,
		Say: Say{Key: "owed.roster", Args: Args{
			{"team", f.box.names[side.Index()]}, {"player", string(j)}, {"time", time},
		}},
	})
}

// inBox reports whether a player sat in the box at a moment, for a penalty that
// was called before it.
func (f *folding) inBox(side entry.Side, j entry.Jersey, at entry.Millis, but string) bool {
	for _, t := range f.state.Terms {
		if t.Side != side || t.Entry == but || t.Ended == Wiped || t.Ended == NotServed {
			continue
		}
		gone := t.End.Abs
		if t.Out != nil {
			gone = t.Out.Abs
		}
		if (t.Sits == j || t.Player == j && !t.Bench) && t.Start.Abs < at && at < gone {
			return true
		}
	}
	return false
}
