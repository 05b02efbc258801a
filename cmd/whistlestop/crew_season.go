package main

import (
	"strconv"

	"whistlestop/crew/desk"
	"whistlestop/crew/duties"
	"whistlestop/crew/seating"
	"whistlestop/game/dates"
	"whistlestop/game/message"
	"whistlestop/internal/wording"
	"whistlestop/season/league"
)

type crewFirst struct{ crewLogged }

type crewSeason struct {
	crewLogged
	Old string `required:""`
	By  string `required:""`
}

// welcome makes a rota give everybody new a first duty soon.
func welcome(plan *seating.Plan, l league.League, kept []seating.Duty, c crewMake) error {
	now, err := moment(l, c.At)
	if err != nil {
		return err
	}
	log := duties.Log{}
	if c.Log != "" {
		if log, err = readLog(c.Log); err != nil {
			return err
		}
	}
	d := desk.Open(l, plan, kept, log, now)
	desk.Welcome(plan, desk.Had(d.Duties, log, now), now.Day)
	return nil
}

// crewFirst says how everybody new stands, and which seats they could take first.
func (p *Program) crewFirst(c crewFirst) error {
	d, _, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	p.lines(wording.OfDesk(p.words, d).Newcomers(d.Newcomers(desk.Had(d.Duties, d.Log, d.Now))))
	return nil
}

// crewSeason begins the season of the league file: the rota and what was said of it go,
// what people can do stays, and the messages ask everybody whether they stay.
func (p *Program) crewSeason(c crewSeason) error {
	d, file, err := p.desk(c.crewLogged)
	if err != nil {
		return err
	}
	by, err := dates.Parse(c.By)
	if err != nil || by <= d.Now.Day {
		return message.New("command.crew.season_by", "text", c.By)
	}
	if c.Old == d.League.Season {
		return message.New("command.crew.season_same", "season", c.Old)
	}
	if err := keepLog(file, d.Log.Begin(c.Old, d.League.Season, d.Now, by)); err != nil {
		return err
	}
	if err := keepRota(c.Rota, []seating.Duty{}); err != nil {
		return err
	}
	p.line("command.crew.season_begun", "season", d.League.Season, "count", strconv.Itoa(len(d.Plan.People)))
	return nil
}
