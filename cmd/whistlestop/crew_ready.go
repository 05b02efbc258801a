package main

import (
	"path/filepath"
	"time"

	"whistlestop/crew/people"
	"whistlestop/crew/readiness"
	"whistlestop/game/dates"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/wording"
)

type crewReady struct {
	Crew   string `arg:"" type:"existingfile"`
	People string `arg:"" type:"existingfile"`
	Codes  string `type:"existingfile"`
	Log    string `type:"existingfile"`
	Out    string
	At     string
}

// crewReady says whose levels are other ones now, by what they practised and which
// seats they had, and writes the list with them.
func (p *Program) crewReady(c crewReady) error {
	rules, list, text, err := p.crewList(c.Crew, c.People)
	if err != nil {
		return err
	}
	known := readiness.Known{}
	if known.Today, err = dates.Parse(time.Now().Format(time.DateOnly)); err != nil {
		return err
	}
	if c.At != "" {
		if known.Today, err = dates.Parse(c.At); err != nil {
			return err
		}
	}
	var bad []string
	if c.Codes != "" {
		codes, err := readFile(c.Codes)
		if err != nil {
			return err
		}
		known.Results, bad = readiness.Codes(string(codes))
	}
	if c.Log != "" {
		log, err := readLog(c.Log)
		if err != nil {
			return err
		}
		known.Held = readiness.Seats(log, rules.KindOf)
	}
	changes := readiness.Work(list, rules.Kinds(), known)
	p.lines(wording.Readiness(p.words, list, changes, bad, readiness.Strangers(known.Results, list)))
	if c.Out == "" {
		return nil
	}
	now := readiness.Apply(list, changes, known.Held)
	text, err = people.Relevel(text, append(rules.Kinds(), people.NewSince), func(name, family, title string) (string, bool) {
		for i, one := range now {
			switch {
			case one.Name != name || one.Family != family:
			case title == people.NewSince:
				if one.Since == nil || list[i].Since != nil {
					return "", false
				}
				return one.Since.String(), true
			default:
				return string(one.Levels[title]), one.Levels[title] != list[i].Levels[title]
			}
		}
		return "", false
	})
	if err != nil {
		return err
	}
	if err := durable.Write(durable.System(), c.Out, text); err != nil {
		return err
	}
	p.line("command.crew.ready.kept", "file", filepath.Base(c.Out))
	return nil
}
