package rules

import (
	"slices"

	"whistlestop/game/entry"
)

// doubles finds entries that look like the same thing: two goals of a side at
// one moment, which cannot be, because a goal stops play; and a call that two
// seats entered at one moment for the same player, or where one left the player
// open.
func (f *folding) doubles() {
	for i := 1; i < len(f.goals); i++ {
		a, b := f.goals[i-1], f.goals[i]
		if moment(a.at) != moment(b.at) || a.Side != b.Side || a.On == entry.OnAwarded || b.On == entry.OnAwarded {
			continue
		}
		merged, differs := mergeGoals(a.play.body.(entry.Goal), b.play.body.(entry.Goal))
		f.double(a.play, b.play, merged, differs, Say{Key: "double.goal", Args: Pairs(
			"team", f.box.names[a.Side.Index()], "time", f.box.axis.clockOf(f.box.axis.abs(a.at)),
		)})
	}
	for i, b := range f.calls {
		for _, a := range f.calls[max(0, i-8):i] {
			if moment(a.at) != moment(b.at) || a.play.seat == b.play.seat {
				continue
			}
			first, second := a.play.body.(entry.Penalty), b.play.body.(entry.Penalty)
			if !alikeCalls(first, second) {
				continue
			}
			merged, differs := mergeCalls(first, second)
			f.double(a.play, b.play, merged, differs, Say{Key: "double.call", Args: Pairs(
				"team", f.box.names[first.Side.Index()], "player", playerArg(merged.Player, merged.Bench),
				"time", f.box.axis.clockOf(f.box.axis.abs(a.at)),
			)})
		}
	}
}

// moment is a moment whatever stands before and after it there.
func moment(at entry.At) entry.At { return entry.At{Period: at.Period, Elapsed: at.Elapsed} }

// double notes two entries, the one posted first as the first.
func (f *folding) double(a, b *play, merged entry.Body, differs []string, say Say) {
	if a.seq > b.seq {
		a, b = b, a
	}
	key := "double/" + a.id + "/" + b.id
	if f.aside[key] {
		return
	}
	f.state.Book.Doubles = append(f.state.Book.Doubles, Double{
		Key: key, First: a.id, Second: b.id, Merged: merged, MergedKind: merged.Kind(), Differs: list(differs), Say: say,
	})
	f.owe(key, b.id, say)
}

func alikeCalls(a, b entry.Penalty) bool {
	open := func(p entry.Penalty) bool { return p.Player == "" && !p.Bench }
	return a.Side == b.Side && slices.Equal(a.Parts, b.Parts) && (a.Call == b.Call || a.Call == "" || b.Call == "") &&
		(a.Player == b.Player && a.Bench == b.Bench || open(a) || open(b))
}

// either takes what was said, the first where both said something, and notes
// where they differ.
func either[T comparable](differs *[]string, field string, a, b T) T {
	var none T
	switch {
	case a == none:
		return b
	case b != none && a != b:
		*differs = append(*differs, field)
	}
	return a
}

func mergeGoals(a, b entry.Goal) (entry.Goal, []string) {
	var differs []string
	out := a
	out.Scorer = either(&differs, "scorer", a.Scorer, b.Scorer)
	out.On = either(&differs, "on", a.On, b.On)
	out.EmptyNet, out.OwnGoal = a.EmptyNet || b.EmptyNet, a.OwnGoal || b.OwnGoal
	switch {
	case len(a.Assists) == 0:
		out.Assists = b.Assists
	case len(b.Assists) > 0 && !slices.Equal(a.Assists, b.Assists):
		out.Assists = mergeAssists(&differs, a.Assists, b.Assists)
	}
	out.Assists = slices.DeleteFunc(slices.Clone(out.Assists), func(j entry.Jersey) bool { return j != "" && j == out.Scorer })
	if len(a.Assists)+len(b.Assists) > 0 && (a.Unassisted || b.Unassisted) {
		differs = append(differs, "assists")
	}
	out.Unassisted = len(out.Assists) == 0 && (a.Unassisted || b.Unassisted)
	if len(a.OnIce.Home)+len(a.OnIce.Visitors) == 0 {
		out.OnIce = b.OnIce
	}
	return out, slices.Compact(differs)
}

func mergeAssists(differs *[]string, a, b []entry.Jersey) []entry.Jersey {
	out := make([]entry.Jersey, max(len(a), len(b)))
	for i := range out {
		var x, y entry.Jersey
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		out[i] = either(differs, "assists", x, y)
	}
	if len(out) == 2 && out[0] != "" && out[0] == out[1] {
		out = out[:1]
	}
	return out
}

func mergeCalls(a, b entry.Penalty) (entry.Penalty, []string) {
	var differs []string
	out := a
	out.Player = either(&differs, "player", a.Player, b.Player)
	out.Call = either(&differs, "call", a.Call, b.Call)
	out.ServedBy = either(&differs, "served_by", a.ServedBy, b.ServedBy)
	out.Bench, out.Signalled = a.Bench || b.Bench, a.Signalled || b.Signalled
	if len(a.Lengths) == 0 {
		out.Lengths = b.Lengths
	}
	if out.ServedBy == out.Player {
		out.ServedBy = ""
	}
	return out, differs
}
