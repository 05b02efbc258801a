package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"whistlestop/game/message"
	"whistlestop/game/rulebook"
	"whistlestop/internal/demo"
	"whistlestop/internal/practice"
	"whistlestop/practice/grade"
	"whistlestop/practice/maker"
	"whistlestop/practice/plot"
	"whistlestop/practice/script"
)

type practiceCommand struct {
	List   practiceListCommand   `cmd:""`
	Script practiceScriptCommand `cmd:""`
	Answer practiceAnswerCommand `cmd:""`
	Grade  practiceGradeCommand  `cmd:""`
	Site   practiceSiteCommand   `cmd:"" default:"withargs"`
}

type practiceListCommand struct{}

// which says which script is meant.
type which struct {
	Script   string `arg:""`
	Seed     uint32 `default:"1"`
	Level    int    `default:"2"`
	Skills   []plot.Skill
	Division string `default:"harbour-u14"`
}

type practiceScriptCommand struct {
	which
	JSON bool `name:"json"`
}

type practiceAnswerCommand struct {
	which
	Words bool
}

type practiceGradeCommand struct {
	which
	Ledger string `arg:"" optional:""`
	Acts   string `type:"path"`
	JSON   bool   `name:"json"`
}

// practice carries out a practice command.
func (p *Program) practice(command string, c practiceCommand) error {
	switch _, name, _ := strings.Cut(command, " "); strings.Fields(name)[0] {
	case "script":
		s, err := c.Script.find()
		if err != nil {
			return err
		}
		if c.Script.JSON {
			return p.writeJSON(s)
		}
		_, err = fmt.Fprint(p.Out, s.Text())
		return err
	case "answer":
		return p.answer(c.Answer)
	case "grade":
		return p.gradePractice(c.Grade)
	case "site":
		return p.practiceSite(c.Site)
	default:
		return p.listPractice()
	}
}

// rinkCardJSON is the invented rink card as a ledger carries it.
func rinkCardJSON() (json.RawMessage, error) { return json.Marshal(demo.Card().Card) }

// find finds or makes the script that is meant.
func (w which) find() (script.Script, error) {
	card, err := rinkCardJSON()
	if err != nil {
		return script.Script{}, err
	}
	own, err := maker.All(card)
	if err != nil {
		return script.Script{}, err
	}
	if i := slices.IndexFunc(own, func(s script.Script) bool { return s.ID == w.Script }); i >= 0 {
		return own[i], nil
	}
	if w.Script == "made" {
		return w.made(card)
	}
	text, err := readAtMost(w.Script, ledgerMost)
	if err != nil {
		if errors.Is(err, os.ErrNotExist) {
			return script.Script{}, message.New("command.no_script", "script", w.Script)
		}
		return script.Script{}, cannotRead(w.Script, err)
	}
	if strings.HasSuffix(w.Script, ".practice") {
		s, err := maker.Parse(text, filepath.Base(w.Script), plot.Known{Divisions: rulebook.Divisions(), Card: card})
		if err != nil {
			return s, message.Because(err, "command.bad_script")
		}
		return s, nil
	}
	ledger, _, err := readGame(w.Script)
	if err != nil {
		return script.Script{}, cannotRead(w.Script, err)
	}
	plot, err := maker.FromLedger(ledger, w.Level)
	if err != nil {
		return script.Script{}, message.Because(err, "command.bad_script")
	}
	s, err := maker.Direct(plot)
	if err != nil {
		return s, message.Because(err, "command.bad_script")
	}
	return s, nil
}

func (w which) made(card json.RawMessage) (script.Script, error) {
	var ids []string
	for _, d := range rulebook.Divisions() {
		ids = append(ids, d.ID)
		if d.ID != w.Division {
			continue
		}
		s, err := maker.Order{Seed: w.Seed, Level: w.Level, Skills: w.Skills, Division: d, Card: card}.Script()
		if err != nil {
			return s, message.Because(err, "command.bad_script")
		}
		return s, nil
	}
	return script.Script{}, message.New("command.no_division", "division", w.Division, "divisions", strings.Join(ids, ", "))
}

// writeJSON prints a value for another program.
func (p *Program) writeJSON(value any) error {
	out := json.NewEncoder(p.Out)
	out.SetIndent("", "  ")
	return out.Encode(value)
}

func (p *Program) listPractice() error {
	card, err := rinkCardJSON()
	if err != nil {
		return err
	}
	own, err := maker.All(card)
	if err != nil {
		return err
	}
	for _, d := range own {
		fmt.Fprintf(p.Out, "%-22s %s, %s\n", d.ID, practice.TitleOf(p.words.in(), d), d.Length)
	}
	fmt.Fprintf(p.Out, "\n%s\n", p.words.say("command.skills"))
	for _, s := range plot.Skills {
		fmt.Fprintf(p.Out, "%-22s %s\n", s, p.words.say("drill.skill."+string(s)))
	}
	return nil
}

func (p *Program) answer(c practiceAnswerCommand) error {
	s, err := c.find()
	if err != nil {
		return err
	}
	if c.Words {
		_, err := fmt.Fprint(p.Out, maker.AnswerText(s, p.words.sentence))
		return err
	}
	for _, e := range s.Ledger() {
		line, err := json.Marshal(e)
		if err != nil {
			return err
		}
		fmt.Fprintf(p.Out, "%s\n", line)
	}
	return nil
}

func (p *Program) gradePractice(c practiceGradeCommand) error {
	s, ledger, acts, err := c.practised()
	if err != nil {
		return err
	}
	g, err := grade.Evaluate(s, ledger, acts)
	if err != nil {
		return err
	}
	if c.JSON {
		return p.writeJSON(g)
	}
	fmt.Fprintln(p.Out, p.words.say("command.score", "score", strconv.Itoa(g.Score), "title", practice.TitleOf(p.words.in(), s)))
	for _, c := range g.Critical {
		fmt.Fprintf(p.Out, "! %s: %d\n", p.words.sentence(c.Say), c.Count)
	}
	for _, f := range g.Findings {
		fmt.Fprintf(p.Out, "  %d  %s  %s\n", f.At.Period, f.Right.Left.Left(), p.words.sentence(f.Say))
		if f.Reason != nil && f.Reason.Rule != "" {
			fmt.Fprintf(p.Out, "           %s (%s %s)\n", p.words.sentence(f.Reason.Say), f.Reason.Code, f.Reason.Rule)
		}
	}
	for _, w := range g.Well {
		fmt.Fprintf(p.Out, "+ %s\n", p.words.sentence(w))
	}
	for _, a := range g.Practise {
		fmt.Fprintf(p.Out, "> %s  (whistlestop practice script %s)\n", p.words.sentence(a.Say), a.Drill)
	}
	return nil
}
