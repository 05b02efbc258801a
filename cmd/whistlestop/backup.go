package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/mirror"
	"whistlestop/internal/store"
	"whistlestop/internal/store/sqlite"
)

type backupCommand struct {
	Target string `arg:"" type:"path"`
	Data   string `type:"path"`
}

// backUp saves all games. It says so only when the file and its name are on the
// disk.
func (p *Program) backUp(ctx context.Context, c backupCommand) error {
	if err := p.inFolder(c.Data); err != nil {
		return err
	}
	if info, err := os.Stat(p.folder); err != nil || !info.IsDir() {
		return message.New("backup.nothing", "folder", p.folder)
	}
	from, err := sqlite.Open(ctx, p.folder)
	if errors.Is(err, store.ErrInUse) {
		from, err = sqlite.OpenBeside(ctx, p.folder)
	}
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	p.store = from
	write := mirror.BackUpToFile
	if info, err := os.Stat(c.Target); err == nil && info.IsDir() {
		write = mirror.BackUpToFolder
	}
	season, err := p.backUpSeason(c.Target)
	if err != nil {
		return message.Because(err, "backup.not_saved", "target", c.Target)
	}
	saved, err := write(ctx, from, durable.System(), c.Target, entry.Millis(time.Now().UnixMilli()))
	var older *mirror.OlderError
	switch {
	case errors.As(err, &older):
		return message.New("backup.older", "file", older.File)
	case err != nil:
		return message.Because(err, "backup.not_saved", "target", c.Target)
	case saved.Games == 0 && len(saved.Damaged) == 0 && !season:
		return message.New("backup.nothing", "folder", p.folder)
	}
	_, err = fmt.Fprintln(p.Out, p.words.say("backup.saved", "games", strconv.Itoa(saved.Games),
		"entries", strconv.Itoa(saved.Entries), "target", c.Target))
	for _, game := range saved.Damaged {
		err = errors.Join(err, message.New("backup.damaged", "game", game))
	}
	return err
}
