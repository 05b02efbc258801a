package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/leaguefiles"
	"whistlestop/season/league"
	"whistlestop/season/schedule"
)

// idsBefore are the ids of the games of the league's other seasons: those of every
// schedule that lies in a folder, and of the files that are named. A new game gets none of
// them, because what was said and played stands under such an id.
func idsBefore(l league.League, folder string, named []string) (taken []string, err error) {
	list, err := filepath.Glob(filepath.Join(folder, "*.json"))
	if err != nil {
		return nil, err
	}
	for _, file := range list {
		info, err := os.Stat(file)
		if err != nil || !info.Mode().IsRegular() || info.Size() > schedule.FileMost {
			continue // something else lies there
		}
		text, err := readFile(file)
		if err != nil {
			return nil, err
		}
		_, ids, _ := schedule.Before(text, l)
		taken = append(taken, ids...)
	}
	for _, file := range named {
		text, err := readFile(file)
		if err != nil {
			return nil, err
		}
		_, ids, is := schedule.Before(text, l)
		if !is {
			return nil, message.New("command.schedule.not_before", "file", filepath.Base(file), "league", l.Name)
		}
		taken = append(taken, ids...)
	}
	return taken, nil
}

// asideBefore keeps the schedule of the season before, which lies where a new one is to be
// kept, in a file beside it. It says whether there was one.
func (p *Program) asideBefore(out string, l league.League) (is bool, err error) {
	if _, err := os.Stat(out); errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	text, err := readFile(out)
	if err != nil {
		return false, err
	}
	season, _, is := schedule.Before(text, l)
	if !is {
		return false, nil
	}
	aside := strings.TrimSuffix(out, filepath.Ext(out)) + "-before.json"
	if there, err := os.ReadFile(aside); err == nil && !bytes.Equal(there, text) {
		if _, _, older := schedule.Before(there, l); !older {
			return false, message.New("command.schedule.aside_there", "file", filepath.Base(aside), "season", message.Plain(season))
		}
	}
	if err := durable.Write(durable.System(), aside, text); err != nil {
		return false, err
	}
	p.line("command.schedule.aside", "season", season, "file", filepath.Base(aside))
	return true, nil
}

// keepBefore puts aside what a folder has of the season before, when it gets the schedule
// of another one.
func keepBefore(files *leaguefiles.Folder, l league.League, games []byte) error {
	there, err := files.Schedule()
	if err != nil {
		return err
	}
	season, ids, is := schedule.Before(there, l)
	if !is {
		return nil
	}
	fresh, err := schedule.Read(games, l)
	if err != nil {
		return message.Because(err, "season.schedule_unfit")
	}
	for _, g := range fresh {
		if slices.Contains(ids, g.ID) {
			return message.New("command.keep.same_ids", "game", g.ID, "season", message.Plain(season))
		}
	}
	if err := files.KeepScheduleBefore(there); err != nil {
		return err
	}
	decided, err := files.Decisions()
	if err == nil && decided != nil {
		if err = files.KeepDecisionsBefore(decided); err == nil {
			err = files.KeepDecisions(nil)
		}
	}
	return err
}
