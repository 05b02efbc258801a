package main

import (
	"context"
	"fmt"
	"time"

	"whistlestop/crew/onduty"
	"whistlestop/game/dates"
	"whistlestop/game/entry"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/store/sqlite"
)

type deskCommand struct {
	Data string `type:"path"`
	Demo bool
	mailFlags
	serveFlags
}

// deskServe serves the crew's desk of a folder, with the season and the bench that are
// there.
func (p *Program) deskServe(ctx context.Context, c deskCommand) error {
	var err error
	if p.mail, err = p.post(c.mailFlags); err != nil {
		return err
	}
	if c.Demo && c.Data == "" {
		err = p.inDemoFolder()
	} else {
		err = p.inFolder(c.Data)
	}
	if err == nil {
		err = p.openStore(ctx)
	}
	if err != nil {
		return err
	}
	papers, err := sqlite.OpenPapers(ctx, p.folder)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.papers = papers
	if c.Demo {
		if err := p.inventDesk(ctx); err != nil {
			return err
		}
	}
	if err := p.serve(ctx, c.serveFlags, ""); err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.Out, "desk http://%s/desk\n", p.inside)
	return err
}

// inventDesk fills an empty folder with the invented season.
func (p *Program) inventDesk(ctx context.Context) error {
	now := time.Now()
	today, err := dates.Parse(now.Format(time.DateOnly))
	if err != nil {
		return err
	}
	texts, err := p.papers.All(ctx)
	files := p.seasonFiles()
	var league []byte
	if err == nil {
		league, err = files.League()
	}
	if err == nil && (len(texts) > 0 || league != nil) {
		err = errNotEmpty
	}
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	err = inventCrew(ctx, p.papers, files, entry.Millis(now.UnixMilli()), today)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	return nil
}

// crewService answers what is asked of the crew's desk.
func (p *Program) crewService(reach func() (string, bool)) *crew.Service {
	if p.papers == nil {
		return &crew.Service{} // one that keeps nothing
	}
	desk := crewDesk(p.papers, p.seasonFiles(), p.logger)
	desk.Reach, desk.Languages = reach, p.languages()
	if p.mail != nil {
		desk.Post = p.mail
		p.couriers = newCouriers()
		p.couriers.send(desk)
	}
	return desk
}

// dutyService answers who is on duty at the games of the bench: by the desk where it is
// kept here, or else by the file that another computer's desk handed over.
func (p *Program) dutyService(desk *crew.Service) *crew.Bench {
	return &crew.Bench{Desk: desk, Files: p.seasonFiles(), Logger: p.logger, Game: func(c *api.Call, game string) (onduty.Wanted, error) {
		update, err := p.live.State(c, game)
		if err != nil {
			return onduty.Wanted{}, err
		}
		info, teams := update.State.Info, update.State.Teams
		day, err := dates.Parse(info.Date)
		if err != nil {
			day = 0 // found by its id only
		}
		return onduty.Wanted{Schedule: info.Schedule, Day: day, Home: teams[0].Name, Visitors: teams[1].Name}, nil
	}}
}
