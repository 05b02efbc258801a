package why

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/api"
)

// Question is the moment that somebody asks about.
type Question struct {
	File   string // in which the game lies, for the warning that it was changed
	Period int    // the first overtime after three periods is 4
	Time   string // played in the period, such as 4:05
	Left   bool   // the time is what the clock shows: time left
}

// Explain explains the box, the strength and the score of a game at a moment.
func Explain(words api.Words, ledger []entry.Entry, q Question) (string, error) {
	whole, err := rules.Fold(ledger)
	if err != nil {
		return "", err
	}
	x := &explanation{words: words}
	if x.now, err = x.momentOf(whole, q); err != nil {
		return "", err
	}
	if x.state, err = rules.Fold(until(ledger, whole, x.now)); err != nil {
		return "", err
	}
	x.picture = lanes.At(x.state, x.now)
	x.code, _ = rulebook.CodeByID(x.state.Division.Code)
	if broken := entry.VerifyChain(ledger); broken != nil {
		x.line("command.why.chain", "file", q.File, "why", message.Inside(broken))
	}
	x.game()
	x.ice()
	for _, lane := range x.picture.Lanes {
		x.box(lane)
	}
	x.line("command.deference")
	return x.out.String(), nil
}

// momentOf reads the period and the time that were asked for.
func (x *explanation) momentOf(s rules.State, c Question) (rules.Moment, error) {
	time, err := entry.ParseClock(c.Time)
	if err != nil {
		return rules.Moment{}, api.Refuse("command.why.no_time", "why", message.Inside(err))
	}
	begun := 0
	for _, span := range s.Periods {
		if !span.Begun {
			continue
		}
		begun = max(begun, span.Period)
		if span.Period != c.Period {
			continue
		}
		if time > span.Length {
			return rules.Moment{}, api.Refuse("command.why.too_late", "time", time.String(), "stage", x.stage(span.Stage), "length", span.Length.String())
		}
		if c.Left {
			time = span.Length - time
		}
		return rules.Moment{Abs: span.Abs + time, Period: span.Period, Elapsed: time, Left: span.Length - time}, nil
	}
	return rules.Moment{}, api.Refuse("command.why.no_period", "period", strconv.Itoa(c.Period), "begun", strconv.Itoa(begun))
}

func (x *explanation) stage(s entry.Stage) string {
	return x.say("stage." + string(s.Kind) + "." + strconv.Itoa(s.Number))
}

// explanation is a page under way.
type explanation struct {
	words   api.Words
	state   rules.State
	now     rules.Moment
	picture lanes.Picture
	code    *rulebook.Code
	out     strings.Builder
}

func (x *explanation) line(key string, pairs ...string) {
	x.out.WriteString(x.say(key, pairs...) + "\n")
}

// game says which game, which moment, which book, and the score.
func (x *explanation) game() {
	home, visitors := x.picture.Lanes[0], x.picture.Lanes[1]
	x.line("command.why.moment", "home", home.Name, "visitors", visitors.Name,
		"stage", x.stage(x.picture.Stage), "played", x.now.Elapsed.String(), "left", x.now.Left.Left())
	x.line("command.why.book", "name", x.code.Name, "edition", x.code.Edition)
	x.line("command.why.score", "home", home.Name, "visitors", visitors.Name,
		"score", fmt.Sprintf("%d–%d", home.Score, visitors.Score))
	if n := len(x.state.Goals); n > 0 {
		goal := x.state.Goals[n-1]
		for _, l := range x.state.Lines {
			if l.Entry == goal.Entry {
				x.line("command.why.last_goal", "stage", x.stage(x.stageOf(goal.Moment)),
					"time", goal.Moment.Left.Left(), "goal", x.text(l.Say))
				x.reasons(l.Follows)
			}
		}
	}
}

func (x *explanation) stageOf(m rules.Moment) entry.Stage {
	for _, span := range x.state.Periods {
		if span.Period == m.Period {
			return span.Stage
		}
	}
	return entry.Stage{}
}

// text is a sentence of the fold.
func (x *explanation) text(s rules.Say) string { return x.words.Text(s.Key, s.Args) }

// say is a sentence of the catalogue, with what fills its gaps by name.
func (x *explanation) say(key string, pairs ...string) string {
	args := rules.Pairs(pairs...)
	for i := range args { // names of files, and what stands in them
		args[i].Text = entry.Shown(args[i].Text)
	}
	return x.words.Text(key, args)
}

// reasons writes why, with the rules' numbers.
func (x *explanation) reasons(list []rules.Reason) {
	seen := []string{}
	for _, r := range list {
		rule := r.Rule
		if rule == "" {
			rule = x.say("command.why.no_number")
		}
		line := x.say("command.why.reason", "rule", rule, "says", x.text(r.Say))
		if !slices.Contains(seen, line) {
			seen = append(seen, line)
			x.out.WriteString("  " + line + "\n")
		}
	}
}

// ice says who plays with how many, and why.
func (x *explanation) ice() {
	home, visitors := x.picture.Lanes[0], x.picture.Lanes[1]
	x.line("command.why.ice", "home", home.Name, "visitors", visitors.Name,
		"skaters", x.say("says.strength", "home", "@skaters."+strconv.Itoa(home.Skaters),
			"visitors", "@against."+strconv.Itoa(visitors.Skaters)))
	short := [2]int{}
	for i, lane := range x.picture.Lanes {
		var who []string
		for _, bar := range lane.Bars {
			if first := bar.Pieces[0]; first.Style == lanes.Running && first.Term.Costs {
				who = append(who, x.player(bar))
			}
		}
		short[i] = len(who)
		if len(who) > 0 {
			x.line("command.why.short", "team", lane.Name, "count", strconv.Itoa(len(who)), "players", strings.Join(who, ", "))
		}
	}
	rule := x.code.Rules[rulebook.TopicOvertime].Rule
	switch least := min(home.Full-short[0], visitors.Full-short[1]); {
	case least < 3:
		x.line("command.why.three", "rule", rule)
	case home.Skaters != home.Full-short[0] || visitors.Skaters != visitors.Full-short[1]:
		x.line("command.why.back", "rule", rule)
	}
}

// player is whose bar it is.
func (x *explanation) player(b lanes.Bar) string {
	switch {
	case b.Bench:
		return x.say("player.bench")
	case b.Player == "":
		return x.say("player.owed")
	default:
		return string(b.Player)
	}
}

// box says who sits for a side, until when and why, and who waits.
func (x *explanation) box(lane lanes.Lane) {
	if len(lane.Bars) == 0 {
		x.line("command.why.empty", "team", lane.Name)
		return
	}
	for _, bar := range lane.Bars {
		for i, piece := range bar.Pieces {
			x.piece(lane, bar, piece, i == 0)
		}
	}
}

// piece says what one term is about.
func (x *explanation) piece(lane lanes.Lane, bar lanes.Bar, piece lanes.Piece, first bool) {
	t := piece.Term
	out := t.End
	if t.Door == rules.AtEnd && t.Out != nil {
		out = *t.Out
	}
	pairs := []string{
		"team", lane.Name, "player", x.player(bar), "sits", string(t.Sits), "part", x.say("part." + string(t.Part)),
		"call", x.call(t.Call), "out", x.when(out), "over", x.when(t.End), "starts", x.when(t.Start), "length", t.Length.String(),
		"left", (piece.To - x.now.Abs).Left(),
	}
	if t.Sits == "" {
		pairs[5] = x.say("command.why.somebody")
	}
	key := "command.why.sits"
	switch {
	case piece.Held() && piece.Style != lanes.Waiting:
		key = "command.why.held"
	case piece.Style == lanes.Over:
		key = "command.why.over"
	case !first && piece.AtWhistle():
		key = "command.why.then_whistle"
	case !first && piece.Style != lanes.Waiting:
		key = "command.why.then"
	case piece.Style == lanes.Waiting:
		key = "command.why.waits"
	case t.Door == rules.NoDoor && t.Out != nil:
		key = "command.why.nobody"
	case piece.AtWhistle():
		key = "command.why.whistle"
	case t.Door == rules.NoDoor:
		key = "command.why.more"
	}
	if t.Sits != t.Player && !t.Bench && (key == "command.why.sits" || key == "command.why.whistle" || key == "command.why.over") {
		key += "_for"
	}
	x.line(key, pairs...)
	x.reasons(t.Reasons)
}

func (x *explanation) call(call string) string {
	if call == "" {
		return x.say("call.owed")
	}
	key := "call." + call
	if words := x.say(key); words != key {
		return words
	}
	return call // as it was written
}

// when is a moment as the game clock will show it.
func (x *explanation) when(m rules.Moment) string {
	stage := x.stageOf(m)
	for _, span := range x.state.Periods {
		if span.Period == m.Period && m.Elapsed > span.Length {
			return x.say("time.after_game")
		}
	}
	if m.Period == x.now.Period {
		return m.Left.Left()
	}
	return x.say("command.why.clock", "time", m.Left.Left(), "stage", x.stage(stage))
}
