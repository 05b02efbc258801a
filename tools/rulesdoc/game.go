package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/lanes"
	"whistlestop/game/rulebook"
	"whistlestop/game/rules"
	"whistlestop/internal/locale"
)

// Told is what the program makes of a situation.
type Told struct {
	Text     string            // Markdown
	Pictures map[string][]byte // SVG by file name
}

// Tell plays a game told in short lines: "game CODE [overtime SKATERS]", "begin
// PERIOD", "TIME penalty SIDE NUMBER|bench PART... [CALL] [served N]
// [signalled]", "TIME goal SIDE NUMBER [shot|awarded]", "TIME stop", "choose
// NUMBER...", "draw TIME". Times are elapsed in the period begun last.
func Tell(name string, lines []string) (Told, error) {
	g := &game{name: name, told: Told{Pictures: map[string][]byte{}}}
	for i, line := range lines {
		words := strings.Fields(line)
		if len(words) == 0 {
			continue
		}
		if err := g.command(words); err != nil {
			return Told{}, fmt.Errorf("%q (line %d of the game): %s", strings.TrimSpace(line), i+1, locale.English().Error(err))
		}
	}
	if len(g.told.Pictures) == 0 {
		return Told{}, errors.New("nothing is drawn: end the game with a line such as \"draw 4:30\"")
	}
	g.told.Text = g.text.String()
	return g.told, nil
}

type game struct {
	name     string
	division rulebook.Division
	ledger   []entry.Entry
	period   int
	listed   bool // the text so far ends in a list
	text     strings.Builder
	told     Told
}

func words(key string, pairs ...string) string {
	return locale.English().Text(key, rules.Pairs(pairs...))
}

func (g *game) command(line []string) error {
	switch line[0] {
	case "game":
		return g.open(line[1:])
	case "begin":
		return g.begin(line[1:])
	case "draw":
		return g.draw(line[1:])
	case "choose":
		return g.choose(line[1:])
	}
	if len(line) < 2 {
		return errors.New("a line is a time and what happened then")
	}
	elapsed, err := entry.ParseClock(line[0])
	if err != nil {
		return err
	}
	at := entry.At{Period: g.period, Elapsed: elapsed}
	switch line[1] {
	case "stop":
		g.append(at, entry.ClockStopped{Elapsed: elapsed})
		return nil
	case "goal":
		body, err := goal(line[2:])
		if err != nil {
			return err
		}
		return g.post(at, body)
	case "penalty":
		body, err := penalty(line[2:])
		if err != nil {
			return err
		}
		return g.post(at, body)
	default:
		return fmt.Errorf("%q is not a happening: goal, penalty or stop", line[1])
	}
}

// open opens a game under a code with the book's own lengths and periods of
// twenty minutes.
func (g *game) open(line []string) error {
	if len(line) == 0 {
		return errors.New("a game is played under a code")
	}
	code, ok := rulebook.CodeByID(line[0])
	if !ok {
		return fmt.Errorf("there is no code %q", line[0])
	}
	period := entry.Clock(20, 0)
	g.division = rulebook.Division{
		ID: "rules", Name: "Rules", Code: code.ID, Skaters: 5, Lengths: code.Lengths,
		Periods:       []entry.Millis{period, period, period},
		Intermissions: []entry.Millis{entry.Clock(15, 0), entry.Clock(15, 0)},
	}
	if len(line) == 3 && line[1] == "overtime" {
		skaters, err := strconv.Atoi(line[2])
		if err != nil {
			return err
		}
		g.division.Overtime = rulebook.Overtime{
			Periods:     []rulebook.OvertimePeriod{{Length: entry.Clock(5, 0), Skaters: skaters}},
			SuddenDeath: true,
		}
	}
	raw, err := json.Marshal(g.division)
	if err != nil {
		return err
	}
	g.append(entry.At{}, entry.GameOpened{
		Division: raw, Home: entry.Team{Name: "Kelp Bay", Players: roster()},
		Visitors: entry.Team{Name: "Lanternside", Players: roster()},
	})
	return nil
}

func roster() []entry.Player {
	list := []entry.Player{{Number: "1", Goalkeeper: true}}
	for n := 2; n <= 25; n++ {
		list = append(list, entry.Player{Number: entry.Jersey(strconv.Itoa(n))})
	}
	return list
}

func (g *game) append(at entry.At, body entry.Body) entry.Entry {
	n := len(g.ledger) + 1
	e := entry.Entry{
		ID: fmt.Sprintf("01JRULES%018d", n), Game: "01JRULES000000000000000000", Seq: n, At: at,
		Wall: 1_790_000_000_000 + entry.Millis(n)*1000, Seat: entry.Solo, Body: body,
	}
	g.ledger = append(g.ledger, e)
	return e
}

func (g *game) begin(line []string) error {
	if len(line) != 1 {
		return errors.New("which period begins?")
	}
	n, err := strconv.Atoi(line[0])
	if err != nil {
		return err
	}
	g.period = n
	stage, length := entry.Stage{Kind: entry.Period, Number: n}, entry.Clock(20, 0)
	if over := n - len(g.division.Periods); over > 0 {
		stage, length = entry.Stage{Kind: entry.Overtime, Number: over}, entry.Clock(5, 0)
	}
	g.append(entry.At{Period: n}, entry.StageBegun{Stage: stage, Length: length})
	return nil
}

func goal(line []string) (entry.Goal, error) {
	if len(line) < 2 {
		return entry.Goal{}, errors.New("a goal has a side and a scorer")
	}
	g := entry.Goal{Side: entry.Side(line[0]), Scorer: entry.Jersey(line[1]), Unassisted: true}
	for _, w := range line[2:] {
		switch w {
		case "shot":
			g.On = entry.OnPenaltyShot
		case "awarded":
			g.On = entry.OnAwarded
		default:
			return g, fmt.Errorf("%q is nothing about a goal", w)
		}
	}
	return g, nil
}

func penalty(line []string) (entry.Penalty, error) {
	if len(line) < 3 {
		return entry.Penalty{}, errors.New("a penalty has a side, a player and its parts")
	}
	p := entry.Penalty{Side: entry.Side(line[0]), Player: entry.Jersey(line[1])}
	if line[1] == "bench" {
		p.Player, p.Bench = "", true
	}
	for i := 2; i < len(line); i++ {
		switch w := line[i]; {
		case w == "signalled":
			p.Signalled = true
		case w == "served" && i+1 < len(line):
			i++
			p.ServedBy = entry.Jersey(line[i])
		case entry.Part(w).Valid():
			p.Parts = append(p.Parts, entry.Part(w))
		default:
			p.Call = w
		}
	}
	return p, nil
}

// post considers an entry as the bench does, posts it, and writes down what the
// program says.
func (g *game) post(at entry.At, body entry.Body) error {
	before := len(g.ledger)
	draft := g.append(at, body)
	preview := rules.Consider(g.ledger[:before], []entry.Entry{draft}, draft.Wall)
	if len(preview.Refused) > 0 {
		return errors.New(words(preview.Refused[0].Say.Key))
	}
	when := g.division.Periods[0] - at.Elapsed
	if g.period > len(g.division.Periods) {
		when = g.division.Overtime.Periods[0].Length - at.Elapsed
	}
	g.item(fmt.Sprintf("**%s** %s", when.Left(), g.sentences(preview)))
	for _, q := range preview.State.Asked {
		if q.Now && !q.Answered {
			g.item(fmt.Sprintf("*asks* %s (%s; %s)", say(q.Say), jerseys(q.Players), cite(q.Reason)))
		}
	}
	return nil
}

func (g *game) item(text string) {
	if !g.listed {
		g.text.WriteString("\n")
		g.listed = true
	}
	g.text.WriteString("- " + text + "\n")
}

// sentences are what the preview says, each consequence with its rule.
func (g *game) sentences(p rules.Preview) string {
	cites := map[string]string{}
	for _, l := range p.State.Lines {
		for _, r := range l.Follows {
			cites[say(r.Say)] = cite(r)
		}
	}
	var out []string
	for _, s := range p.Says {
		text := say(s)
		if rule := cites[text]; rule != "" {
			text += " (" + rule + ")"
		}
		out = append(out, text)
	}
	return strings.Join(out, " ")
}

func say(s rules.Say) string { return locale.English().Text(s.Key, s.Args) }

func cite(r rules.Reason) string {
	if r.Rule == "" {
		return "no rule number"
	}
	return r.Rule
}

func jerseys(list []entry.Jersey) string {
	out := make([]string, len(list))
	for i, j := range list {
		out[i] = string(j)
	}
	return strings.Join(out, " or ")
}

// choose answers the first question that is open.
func (g *game) choose(line []string) error {
	state, err := rules.Fold(g.ledger)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(state.Asked, func(q rules.Question) bool { return q.Now && !q.Answered })
	if i < 0 {
		return errors.New("nothing is asked")
	}
	choice := entry.Choice{Question: state.Asked[i].ID}
	for _, w := range line {
		choice.Picks = append(choice.Picks, entry.Jersey(w))
	}
	return g.post(entry.At{Period: state.Asked[i].Moment.Period, Elapsed: state.Asked[i].Moment.Elapsed}, choice)
}

// draw draws the lanes at a time of the period begun last.
func (g *game) draw(line []string) error {
	if len(line) != 1 {
		return errors.New("draw at which time?")
	}
	elapsed, err := entry.ParseClock(line[0])
	if err != nil {
		return err
	}
	state, err := rules.Fold(g.ledger)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(state.Periods, func(p rules.PeriodSpan) bool { return p.Period == g.period })
	if i < 0 {
		return fmt.Errorf("period %d has not begun", g.period)
	}
	span := state.Periods[i]
	now := rules.Moment{Abs: span.Abs + elapsed, Period: span.Period, Elapsed: elapsed, Left: span.Length - elapsed}
	file := g.name + ".svg"
	if n := len(g.told.Pictures); n > 0 {
		file = fmt.Sprintf("%s-%d.svg", g.name, n+1)
	}
	var picture bytes.Buffer
	if err := lanes.Draw(&picture, lanes.At(state, now), words); err != nil {
		return err
	}
	g.told.Pictures[file] = picture.Bytes()
	fmt.Fprintf(&g.text, "\n![The lanes at %s](rules/%s)\n", now.Left.Left(), file)
	g.listed = false
	return nil
}
