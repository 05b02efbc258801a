package main

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/mirror"
	"whistlestop/internal/outbox"
	"whistlestop/internal/outbox/overhttp"
)

// hubFile is where a bench keeps which hub it is paired with, beside the games.
const hubFile = "hub" + ".json"

// hubOff is what the flag says to be paired with no hub any more.
const hubOff = "off"

type hubSendCommand struct {
	File string `arg:"" type:"existingfile"`
	To   string
	Data string `type:"path"`
}

// hubPaper is that file.
func (p *Program) hubPaper() privatefile.File {
	return privatefile.At(filepath.Join(p.folder, hubFile))
}

// pairHub pairs the bench with the hub that the flag names, or with the one of before.
func (p *Program) pairHub(flag string) error {
	if flag == "" {
		return nil
	}
	link := flag
	if flag == hubOff {
		link = ""
	} else if _, err := outbox.ParseLink(flag); err != nil {
		return err
	}
	if err := outbox.Set(p.hubPaper(), link); err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	return nil
}

// sendToHub begins to send the games to the hub that the bench is paired with, if there
// is one.
func (p *Program) sendToHub(now func() entry.Millis) *outbox.Pairing {
	return outbox.Open(outbox.Config{Ledgers: p.store, Client: overhttp.New(), Now: now, Logger: p.logger}, p.hubPaper())
}

// sent is ledgers with copies, which also go to a hub where there is one.
type sent struct {
	*mirror.Mirror
	hub *outbox.Pairing
}

// Append appends and, when the entries are safe here, has them sent. It does not wait
// for that.
func (s sent) Append(ctx context.Context, game string, entries []entry.Entry) error {
	err := s.Mirror.Append(ctx, game, entries)
	if err == nil {
		s.hub.Moved(game, entries)
	}
	return err
}

// Forget takes texts out of a game; what the hub gets has none anyway.
func (s sent) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	err := s.Mirror.Forget(ctx, game, commitments, lines, entries)
	s.hub.Moved(game, nil)
	return err
}

// hubSend sends the ledger of a file to a hub: to the one of a link, or to the one that
// the bench of a folder is paired with.
func (p *Program) hubSend(ctx context.Context, c hubSendCommand) error {
	ledger, _, err := readGame(c.File)
	if err != nil {
		return cannotRead(c.File, err)
	}
	if c.To == "" {
		if err := p.inFolder(c.Data); err != nil {
			return err
		}
		kept, err := outbox.KeptIn(p.hubPaper())
		if err != nil {
			return &folderError{folder: p.folder, err: err}
		}
		if kept.Link == "" {
			return message.New("hub.command.unpaired", "folder", p.folder)
		}
		c.To = kept.Link
	}
	link, err := outbox.ParseLink(c.To)
	if err != nil {
		return err
	}
	now := func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }
	done, err := outbox.SendOnce(ctx, link, overhttp.Over(&http.Client{Timeout: time.Minute}), now, 0, ledger)
	if err != nil {
		return message.Because(err, "hub.command.not_sent", "file", c.File, "hub", link.Hub)
	}
	key := "hub.command.sent"
	if done.Forked {
		key = "hub.command.sent_forked"
	}
	_, err = fmt.Fprintln(p.Out, p.words.say(key, "game", ledger[0].Game, "entries", strconv.Itoa(done.Sent), "hub", link.Hub))
	return err
}
