package rules

import (
	"strings"

	"whistlestop/entry"
)

// position is how far play has come, as far as the ledger knows: the clock's
// anchor in a play stage, otherwise the end of the last period begun.
func (f *folding) position() entry.Millis {
	s := &f.state
	if s.Stage.Play() {
		span := f.box.axis.span(periodOf(s.Division, s.Stage))
		return span.Abs + min(s.Clock.Elapsed, span.Length)
	}
	at := entry.Millis(0)
	for _, span := range f.box.axis {
		if span.Begun {
			at = span.Abs + span.Length
		}
	}
	return at
}

// hold lists what stands in the way of the puck drop.
func (f *folding) hold() {
	s := &f.state
	add := func(item Item) {
		if !f.aside[item.Key] {
			s.Hold = append(s.Hold, item)
		}
	}
	switch {
	case s.Stage.Kind == entry.Over:
		add(Item{Key: "stage/over", Say: Say{Key: "hold.over"}})
	case !s.Stage.Play():
		add(Item{Key: "stage", Say: Say{Key: "hold.stage", Args: Args{{"stage", stageArg(s.Stage)}}}})
	case !s.Clock.Running && s.Clock.Length > 0 && s.Clock.Elapsed >= s.Clock.Length:
		add(Item{Key: "period_over", Say: Say{Key: "hold.period_over", Args: Args{
			{"stage", stageArg(s.Stage)},
		}}})
	}
	now := f.position()
	for i := range s.Asked {
		// Once play has gone on, the answer is owed to the book but holds nobody.
		q := &s.Asked[i]
		args := Args{
			{"team", f.box.names[q.Side.Index()]}, {"players", jerseys(q.Players)}, {"time", q.Moment.Left.Left()},
		}
		switch {
		case !q.Now || q.Answered || f.aside[q.ID]:
		case q.Moment.Abs < now:
			f.owe(q.ID, "", Say{Key: "owed.choice", Args: args})
		default:
			q.Open = true
			add(Item{Key: q.ID, Say: Say{Key: "hold.choice", Args: args}})
		}
	}
	said := map[string]bool{}
	for _, t := range s.Terms {
		if said[t.Entry] || !t.Costs || t.Sits != "" || t.End.Abs <= now || t.Door == NoDoor && t.Out != nil {
			continue
		}
		said[t.Entry] = true
		key := "hold.serves"
		if !t.Bench && t.Player == "" {
			key = "hold.who"
		}
		add(Item{Key: "serves/" + t.Entry, Entry: t.Entry, Say: Say{Key: key, Args: Args{
			{"team", f.box.names[t.Side.Index()]}, {"player", playerArg(t.Player, t.Bench)},
		}}})
	}
}

func jerseys(list []entry.Jersey) string {
	words := make([]string, len(list))
	for i, j := range list {
		words[i] = string(j)
		if j == "" {
			words[i] = "?"
		}
	}
	return strings.Join(words, ", ")
}

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
