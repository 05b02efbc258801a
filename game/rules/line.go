package rules

import (
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
)

// stageArg names a stage as an argument of a Say.
func stageArg(s entry.Stage) string {
	if s.Number == 0 || s.Number > 9 {
		return "@stage." + string(s.Kind)
	}
	return "@stage." + string(s.Kind) + "." + strconv.Itoa(s.Number)
}

// PartsArg names the parts of a call as an argument of a Say. Parts that the catalogue has no single
// word for are "several penalties".
func PartsArg(parts []entry.Part) string {
	key := ""
	if len(parts) == 1 {
		key = string(parts[0])
	} else {
		words := make([]string, len(parts))
		for i, p := range parts {
			words[i] = string(p)
		}
		key = strings.Join(words, "_")
	}
	if arg, has := named[key]; has {
		return arg
	}
	return "@parts.several"
}

// named are the combinations of parts with words of their own, as arguments.
var named = map[string]string{
	"minor": "@parts.minor", "bench_minor": "@parts.bench_minor", "minor_minor": "@parts.minor_minor",
	"major": "@parts.major", "misconduct": "@parts.misconduct", "game_misconduct": "@parts.game_misconduct",
	"match": "@parts.match", "penalty_shot": "@parts.penalty_shot", "minor_misconduct": "@parts.minor_misconduct",
	"minor_minor_misconduct": "@parts.minor_minor_misconduct", "minor_game_misconduct": "@parts.minor_game_misconduct",
	"major_game_misconduct": "@parts.major_game_misconduct", "major_misconduct": "@parts.major_misconduct",
	"minor_major": "@parts.minor_major", "major_minor": "@parts.major_minor",
}

// gateArg names the gate of a side's box as an argument of a Say.
func gateArg(side entry.Side) string {
	if side == entry.Visitors {
		return "@gate.visitors"
	}
	return "@gate.home"
}

func callArg(call string) string {
	if call == "" {
		return "@call.owed"
	}
	return "@call." + call
}

// lines writes the ledger in words. The lines of entries that were walked before
// are those of the fold before, but for goals and calls: what follows from those
// any entry may change.
func (f *folding) lines() {
	f.goOn(f.replayed())
	f.after.Fresh = slices.Grow(f.after.Fresh, len(f.ledger))
	f.args = blockOf[Arg](2 * len(f.ledger))
	next := f.played
	length := f.told // of the clock of the stage
	for i := range f.ledger {
		e := &f.ledger[i]
		if b, ok := e.body.(entry.StageBegun); ok && !e.struck {
			length = b.Length
		}
		var came outcome
		if next < len(f.plays) && f.plays[next].place == f.first+i {
			came, next = f.came[next], next+1
		}
		moment := f.box.axis.momentAt(e.at)
		if f.grows || f.before != nil { // nobody else asks what a line is made of
			of := lineOf{
				id: e.ID, prev: e.Prev, newest: e.newest, struck: e.struck, length: length,
				moment: moment, names: f.box.names, target: e.target, rewritten: e.rewritten,
			}
			if f.grows {
				f.after.made = append(f.after.made, of)
			}
			if old := f.before.line(f.first+i, of); old != nil && len(came.follows) == 0 && len(old.Follows) == 0 {
				f.state.Lines = append(f.state.Lines, *old)
				continue
			}
		}
		f.after.Fresh = append(f.after.Fresh, f.first+i)
		f.state.Lines = append(f.state.Lines, Line{
			Entry: e.ID, Seq: e.Seq, Kind: e.Kind(), Moment: moment, Wall: e.Wall,
			Seat: e.Seat, By: e.By, Of: e.Of, Root: f.root(e), Body: shown(e.body), Say: f.say(e, came.goal, length),
			Follows: list(came.follows), Struck: e.struck, Amended: e.amended,
		})
	}
	if f.after.taken != nil {
		*f.after.taken = len(f.state.Lines)
	}
}

// pairs makes the arguments of a line.
func (f *folding) pairs(pairs ...string) Args {
	args := f.args.take(len(pairs) / 2)
	for i := range args {
		args[i] = Arg{Name: pairs[2*i], Text: pairs[2*i+1]}
	}
	return args
}

// root names what an edit is about in the end, where that is not the entry that it
// names itself.
func (f *folding) root(e *settled) string {
	if e.target.root == 0 || e.target.root == e.target.of {
		return ""
	}
	return f.posted.at(int(e.target.root) - 1).ID
}

// replayed lists the lines of goals and calls walked before that now say
// something else, by their places.
func (f *folding) replayed() map[int]Line {
	var out map[int]Line
	for i := range f.plays[:f.played] {
		p, came := &f.plays[i], &f.came[i]
		old := &f.before.State.Lines[p.place]
		line := *old
		line.Moment, line.Follows = f.box.axis.momentAt(p.at), list(came.follows)
		if b, is := p.body.(entry.Goal); is {
			line.Say = f.goalSay(b, came.goal, f.box.names[b.Side.Index()])
		}
		same := func(a, b Reason) bool { return a.Code == b.Code && a.Rule == b.Rule && sameSay(a.Say, b.Say) }
		if line.Moment == old.Moment && sameSay(line.Say, old.Say) && slices.EqualFunc(line.Follows, old.Follows, same) {
			continue
		}
		if out == nil {
			out = map[int]Line{}
		}
		out[p.place] = line
		f.after.Fresh = append(f.after.Fresh, p.place)
	}
	return out
}

// goOn begins the lines with those of the fold before, where they may be written
// behind, and otherwise with a copy of them.
func (f *folding) goOn(other map[int]Line) {
	n, b := f.first, f.before
	if n > 0 && len(other) == 0 && f.grows && b.taken != nil && *b.taken == n {
		f.state.Lines, f.after.made, f.after.taken = b.State.Lines, b.made, b.taken
		return
	}
	size := n + len(f.ledger)
	if f.grows {
		size += size / 8 // for those to come
		f.after.taken = new(int)
	}
	f.state.Lines = make([]Line, n, size)
	if n > 0 {
		copy(f.state.Lines, b.State.Lines)
	}
	for place, line := range other {
		f.state.Lines[place] = line
	}
	if !f.grows {
		return
	}
	f.after.made = make([]lineOf, n, size)
	if n > 0 {
		copy(f.after.made, b.made)
	}
	for place, line := range other {
		f.after.made[place].moment = line.Moment
	}
}

func (f *folding) goalSay(b entry.Goal, g *Goal, team string) Say {
	player, class := playerArg(b.Scorer, false), "@class.none"
	if g != nil { // not struck
		class = "@class." + string(g.Class)
	}
	switch {
	case b.OwnGoal:
		player = "@player.own_goal"
	case b.On == entry.OnPenaltyShot:
		class = "@class.penalty_shot"
	case b.On == entry.OnAwarded:
		class = "@class.awarded"
	}
	key := "line.goal"
	args := append(f.args.take(3 + len(b.Assists))[:0], Arg{Name: "team", Text: team}, Arg{Name: "player", Text: player}, Arg{Name: "class", Text: class})
	for i, a := range b.Assists {
		n := strconv.Itoa(i + 1)
		args = append(args, Arg{Name: "assist" + n, Text: playerArg(a, false)})
		key = "line.goal_" + n
	}
	return Say{Key: key, Args: args}
}
