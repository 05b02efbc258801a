package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/api"
	"whistlestop/internal/api/crew"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/api/season"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/leaguefiles"
	"whistlestop/internal/intake"
	"whistlestop/internal/paper"
	"whistlestop/internal/web"
	"whistlestop/record/tables"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// leagueFolder is where a bench keeps its season, beside the games.
const leagueFolder = "league"

// seasonFiles are the league file and the schedule of the folder of the games.
func (p *Program) seasonFiles() *leaguefiles.Folder {
	return leaguefiles.New(filepath.Join(p.folder, leagueFolder))
}

// seasonService answers what is asked of the season of the folder.
func (p *Program) seasonService(book laptop.Teams, onDuty *crew.Bench) *season.Service {
	return &season.Service{Kept: p.seasonFiles(), Live: p.live, Teams: book.Teams, KeepTeam: book.KeepTeam, ReadGames: intake.Schedule, Write: writeSeason, Logger: p.logger,
		Duties: onDuty.Moved, Formats: web.SeasonFormats()}
}

// writeSeason writes a season's tables in a format of the list.
func writeSeason(out io.Writer, d tables.Document, format, size string, words api.Words) error {
	return writeTables(out, d, format, paper.Options{Paper: size, Words: words})
}

type keepCommand struct {
	leagueFile
	Schedule string `arg:"" optional:"" type:"existingfile"`
	Data     string `type:"path"`
}

// keepSeason puts a league file, and a schedule that fits it, into the folder of the
// games. With a mistake in either nothing is kept.
func (p *Program) keepSeason(c keepCommand) error {
	text, err := readBounded(c.League)
	if err != nil {
		return cannotRead(c.League, err)
	}
	l, err := league.Read(text, filepath.Base(c.League))
	if err != nil {
		return err
	}
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	files := p.seasonFiles()
	games, err := files.Schedule()
	if c.Schedule != "" {
		games, err = readBounded(c.Schedule)
	}
	if err != nil {
		return cannotRead(c.Schedule, err)
	}
	switch _, _, before := schedule.Before(games, l); {
	case before && c.Schedule == "":
		p.line("command.keep.no_games", "season", l.Season)
	case games != nil:
		if _, err := schedule.Read(games, l); err != nil {
			return message.Because(err, "season.schedule_unfit")
		}
	}
	if c.Schedule != "" {
		if err := keepBefore(files, l, games); err != nil {
			return err
		}
	}
	if err := files.KeepLeague(text); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	if c.Schedule != "" {
		if err := files.KeepSchedule(games); err != nil {
			return &folderError{folder: p.folder, err: err}
		}
	}
	p.line("command.keep.done", "league", l.Name, "season", l.Season, "folder", filepath.Join(p.folder, leagueFolder))
	return nil
}

// beside is where a backup has a file of the season: in a folder of the backup's own,
// or beside its file.
func beside(backup, name string) string {
	if info, err := os.Stat(backup); err == nil && info.IsDir() {
		return filepath.Join(backup, leagueFolder, name)
	}
	return strings.TrimSuffix(backup, ".jsonl") + "." + name
}

// backUpSeason saves the files of the season with the games, and says whether there
// are any.
func (p *Program) backUpSeason(target string) (some bool, err error) {
	files := p.seasonFiles()
	for _, name := range leaguefiles.Names {
		text, err := files.Read(name)
		if err != nil || text == nil {
			if err != nil {
				return some, err
			}
			continue
		}
		to := beside(target, name)
		if err := durable.MakeFolder(filepath.Dir(to)); err != nil {
			return some, err
		}
		if err := durable.Write(durable.System(), to, text); err != nil {
			return some, err
		}
		some = true
	}
	return some, nil
}

// restoreSeason takes the files of the season that lie with a backup. What is here
// already is never replaced.
func (p *Program) restoreSeason(from []string) error {
	files := p.seasonFiles()
	for _, backup := range from {
		for _, name := range leaguefiles.Names {
			path := beside(backup, name)
			text, err := readAtMost(path, durable.ReadMost)
			if os.IsNotExist(err) {
				continue
			}
			if err != nil {
				return cannotRead(path, err)
			}
			here, err := files.Read(name)
			if err != nil {
				return err
			}
			switch {
			case here == nil:
				if err := files.Keep(name, text); err != nil {
					return err
				}
				p.print("restore.season", "file", name)
			case !bytes.Equal(here, text):
				p.print("restore.season_other", "file", name, "copy", path)
			}
		}
	}
	return nil
}
