package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
)

type whyCommand struct {
	Game   string `arg:"" help:"Ledger of the game: a file with one entry a line, as the bench exports it."`
	Period int    `arg:"" help:"Number of the period; the first overtime after three periods is 4."`
	Time   string `arg:"" help:"Time played in the period, such as 4:05."`
	Left   bool   `help:"The time is what the clock shows: time left."`
}

// why explains the box, the strength and the score of a game at a moment.
func (p *Program) why(c whyCommand) error {
	ledger, whole, err := readGame(c.Game)
	if err != nil {
		return cannotRead(c.Game, err)
	}
	now, err := momentOf(whole, c)
	if err != nil {
		return err
	}
	state, err := rules.Fold(until(ledger, whole, now))
	if err != nil {
		return err
	}
	x := &explanation{state: state, now: now, picture: lanes.At(state, now)}
	x.code, _ = rulebook.CodeByID(state.Division.Code)
	if broken := entry.VerifyChain(ledger); broken != nil {
		x.line("command.why.chain", "file", filepath.Base(c.Game), "why", broken.Error())
	}
	x.game()
	x.ice()
	for _, lane := range x.picture.Lanes {
		x.box(lane)
	}
	x.line("command.deference")
	_, err = io.WriteString(p.Out, x.out.String())
	return err
}

// momentOf reads the period and the time that were asked for.
func momentOf(s rules.State, c whyCommand) (rules.Moment, error) {
	time, err := entry.ParseClock(c.Time)
	if err != nil {
		return rules.Moment{}, &sayError{"command.why.no_time", []string{"why", err.Error()}}
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
			return rules.Moment{}, &sayError{"command.why.too_late", []string{
				"time", time.String(), "stage", stageWords(span.Stage), "length", span.Length.String()}}
		}
		if c.Left {
			time = span.Length - time
		}
		return rules.Moment{Abs: span.Abs + time, Period: span.Period, Elapsed: time, Left: span.Length - time}, nil
	}
	return rules.Moment{}, &sayError{"command.why.no_period", []string{
		"period", strconv.Itoa(c.Period), "begun", strconv.Itoa(begun)}}
}

func stageWords(s entry.Stage) string {
	return say("stage." + string(s.Kind) + "." + strconv.Itoa(s.Number))
}

// explanation is a page under way.
type explanation struct {
	state   rules.State
	now     rules.Moment
	picture lanes.Picture
	code    *rulebook.Code
	out     strings.Builder
}

func (x *explanation) line(key string, pairs ...string) {
	x.out.WriteString(say(key, pairs...) + "\n")
}

// game says which game, which moment, which book, and the score.
func (x *explanation) game() {
	home, visitors := x.picture.Lanes[0], x.picture.Lanes[1]
	x.line("command.why.moment", "home", home.Name, "visitors", visitors.Name,
		"stage", stageWords(x.picture.Stage), "played", x.now.Elapsed.String(), "left", x.now.Left.Left())
	x.line("command.why.book", "name", x.code.Name, "edition", x.code.Edition)
	x.line("command.why.score", "home", home.Name, "visitors", visitors.Name,
		"score", fmt.Sprintf("%d–%d", home.Score, visitors.Score))
	if n := len(x.state.Goals); n > 0 {
		goal := x.state.Goals[n-1]
		for _, l := range x.state.Lines {
			if l.Entry == goal.Entry {
				x.line("command.why.last_goal", "stage", stageWords(x.stageOf(goal.Moment)),
					"time", goal.Moment.Left.Left(), "goal", text(l.Say))
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
func text(s rules.Say) string { return locale.English().Text(s.Key, s.Args) }

// reasons writes why, with the rules' numbers.
func (x *explanation) reasons(list []rules.Reason) {
	seen := []string{}
	for _, r := range list {
		rule := r.Rule
		if rule == "" {
			rule = say("command.why.no_number")
		}
		line := say("command.why.reason", "rule", rule, "says", text(r.Say))
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
		"skaters", say("says.strength", "home", "@skaters."+strconv.Itoa(home.Skaters),
			"visitors", "@against."+strconv.Itoa(visitors.Skaters)))
	short := [2]int{}
	for i, lane := range x.picture.Lanes {
		var who []string
		for _, bar := range lane.Bars {
			if first := bar.Pieces[0]; first.Style == lanes.Running && first.Term.Costs {
				who = append(who, player(bar))
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
func player(b lanes.Bar) string {
	switch {
	case b.Bench:
		return say("player.bench")
	case b.Player == "":
		return say("player.owed")
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
		"team", lane.Name, "player", player(bar), "sits", string(t.Sits), "part", say("part." + string(t.Part)),
		"call", callWords(t.Call), "out", x.when(out), "over", x.when(t.End), "starts", x.when(t.Start), "length", t.Length.String(),
		"left", (piece.To - x.now.Abs).Left(),
	}
	if t.Sits == "" {
		pairs[5] = say("command.why.somebody")
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

func callWords(call string) string {
	if call == "" {
		return say("call.owed")
	}
	key := "call." + call
	if words := say(key); words != key {
		return words
	}
	return call // as it was written
}

// when is a moment as the game clock will show it.
func (x *explanation) when(m rules.Moment) string {
	stage := x.stageOf(m)
	for _, span := range x.state.Periods {
		if span.Period == m.Period && m.Elapsed > span.Length {
			return say("time.after_game")
		}
	}
	if m.Period == x.now.Period {
		return m.Left.Left()
	}
	return say("command.why.clock", "time", m.Left.Left(), "stage", stageWords(stage))
}
