package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"

	"whistlestop/crew/onduty"
	"whistlestop/game/dates"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/intake"
	"whistlestop/internal/paper/html"
	"whistlestop/internal/store/sqlite"
)

type deskCommand struct {
	Data string `type:"path"`
	serveFlags
}

// deskServe serves the crew's desk of a folder, with the season and the bench that are
// there.
func (p *Program) deskServe(ctx context.Context, c deskCommand) error {
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	if err := p.openStore(ctx); err != nil {
		return err
	}
	papers, err := sqlite.OpenPapers(ctx, p.folder)
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.papers = papers
	if err := p.serve(ctx, c.serveFlags, ""); err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.Out, "desk http://%s/desk\n", p.inside)
	return err
}

// crewService answers what is asked of the crew's desk.
func (p *Program) crewService(reach func() (string, bool)) *crew.Service {
	if p.papers == nil {
		return &crew.Service{} // one that keeps nothing
	}
	return &crew.Service{
		Papers: p.papers, Season: p.seasonFiles(), Rows: intake.Schedule, Reach: reach, Logger: p.logger,
		Key: func(bytes int) []byte {
			raw := make([]byte, bytes)
			_, _ = rand.Read(raw) // never fails
			return raw
		},
		Print: func(out io.Writer, sheet crew.Sheet, words api.Words) error { return html.Crew(out, sheet, words) },
	}
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
