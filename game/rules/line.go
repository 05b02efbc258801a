package rules

import (
	"slices"
	"strconv"

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
	key := make([]byte, 0, 64)
	for i, p := range parts {
		if i > 0 {
			key = append(key, '_')
		}
		key = append(key, p...)
	}
	if arg, has := named[string(key)]; has {
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

func (f *folding) callArg(call string) string {
	if call == "" {
		return "@call.owed"
	}
	return f.box.room.words.join("@call.", call)
}

// lines writes the ledger in words. The lines of entries that were walked before
// are those of the fold before, but for goals and calls: what follows from those
// any entry may change.
func (f *folding) lines() {
	f.goOn(f.replayed())
	if !f.alone {
		f.fresh = slices.Grow(f.fresh, len(f.ledger))
	}
	next := f.played
	length := f.told // of the clock of the stage
	for i := range f.ledger {
		e, line := &f.ledger[i], &f.state.Lines[f.first+i]
		if b, ok := e.body.(entry.StageBegun); ok && !e.struck {
			length = b.Length
		}
		var came outcome
		if next < len(f.plays) && f.plays[next].place == f.first+i {
			came, next = f.came[next], next+1
		}
		moment := f.box.axis.momentAt(*e.at)
		if !f.alone { // nobody else asks what a line is made of
			of := lineOf{
				id: e.ID, prev: e.Prev, newest: e.newest, struck: e.struck, length: length,
				moment: moment, names: f.box.names, target: e.target, rewritten: e.rewritten,
			}
			if f.grows {
				f.made = append(f.made, of)
			}
			if old := f.before.line(f.first+i, of); old != nil && len(came.follows) == 0 && len(old.Follows) == 0 {
				*line = *old
				continue
			}
			f.fresh = append(f.fresh, f.first+i)
		}
		line.Entry, line.Seq, line.Kind, line.Moment, line.Wall = e.ID, e.Seq, e.Kind(), moment, e.Wall
		line.Seat, line.By, line.Of, line.Root = e.Seat, e.By, e.Of, f.root(e)
		line.Body, line.Struck, line.Amended = shown(e.body), e.struck, e.amended()
		line.Say, line.Follows = f.say(e, came.goal, length), list(came.follows)
	}
	if f.taken != nil {
		*f.taken = len(f.state.Lines)
	}
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
		f.fresh = append(f.fresh, p.place)
	}
	return out
}

// goOn begins the lines with those of the fold before, where they may be written
// behind, and otherwise with a copy of them. There is a place for each of the others.
func (f *folding) goOn(other map[int]Line) {
	n, b := f.first, f.before
	if n > 0 && len(other) == 0 && f.grows && b.taken != nil && *b.taken == n {
		f.state.Lines, f.made, f.taken = append(b.State.Lines, make([]Line, len(f.ledger))...), b.made, b.taken
		return
	}
	all := n + len(f.ledger)
	size := all
	if f.grows {
		size += size / 8 // for those to come
		f.taken = new(int)
	}
	f.state.Lines = make([]Line, all, size)
	if n > 0 {
		copy(f.state.Lines, b.State.Lines)
	}
	for place, line := range other {
		f.state.Lines[place] = line
	}
	if !f.grows {
		return
	}
	f.made = make([]lineOf, n, size)
	if n > 0 {
		copy(f.made, b.made)
	}
	for place, line := range other {
		f.made[place].moment = line.Moment
	}
}

func (f *folding) goalSay(b entry.Goal, g *Goal, team string) Say {
	room := &f.box.room
	player, class := playerArg(b.Scorer, false), "@class.none"
	if g != nil { // not struck
		class = classArg(g.Class)
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
	args := append(room.args.take(3 + len(b.Assists))[:0], Arg{Name: "team", Text: team}, Arg{Name: "player", Text: player}, Arg{Name: "class", Text: class})
	for i, a := range b.Assists {
		argument, withIt := assist(i + 1)
		args, key = append(args, Arg{Name: argument, Text: playerArg(a, false)}), withIt
	}
	return Say{Key: key, Args: args}
}

// assist is the argument for the nth assist of a goal, and the key of the sentence about
// one with so many. A goal has two at most.
func assist(nth int) (argument, key string) {
	switch nth {
	case 1:
		return "assist1", "line.goal_1"
	case 2:
		return "assist2", "line.goal_2"
	default: // of a ledger that somebody else made
		n := strconv.Itoa(nth)
		return "assist" + n, "line.goal_" + n
	}
}

// classArg names the class of a goal as an argument of a Say.
func classArg(c Class) string {
	switch c {
	case EvenStrength:
		return "@class.even"
	case PowerPlay:
		return "@class.power_play"
	case ShortHanded:
		return "@class.short_handed"
	}
	return "@class." + string(c)
}

// partArg names a part of a call as an argument of a Say.
func partArg(p entry.Part) string {
	switch p {
	case entry.Minor:
		return "@part.minor"
	case entry.BenchMinor:
		return "@part.bench_minor"
	case entry.Major:
		return "@part.major"
	case entry.Misconduct:
		return "@part.misconduct"
	case entry.GameMisconduct:
		return "@part.game_misconduct"
	case entry.Match:
		return "@part.match"
	case entry.PenaltyShot:
		return "@part.penalty_shot"
	}
	return "@part." + string(p)
}
