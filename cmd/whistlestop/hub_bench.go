package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/mirror"
	"whistlestop/internal/outbox"
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

// pairHub pairs the bench with the hub that the flag names, or with the one of before.
func (p *Program) pairHub(flag string) error {
	file := privatefile.At(filepath.Join(p.folder, hubFile))
	raw, err := file.Read()
	if err != nil {
		p.logger.Error("which hub the bench is paired with cannot be read", "file", hubFile, "error", err)
	}
	var kept outbox.Kept
	if len(raw) > 0 {
		if err := json.Unmarshal(raw, &kept); err != nil {
			p.logger.Error("which hub the bench is paired with cannot be read", "file", hubFile, "error", err)
			kept = outbox.Kept{}
		}
	}
	switch {
	case flag == hubOff:
		kept = outbox.Kept{}
		return p.keepHub(kept)
	case flag != "":
		link, err := outbox.ParseLink(flag)
		if err != nil {
			return err
		}
		if old, err := outbox.ParseLink(kept.Link); err != nil || old.Hub != link.Hub {
			kept = outbox.Kept{} // what another hub has says nothing of this one
		}
		kept.Link = link.String()
		if err := p.keepHub(kept); err != nil {
			return err
		}
	case kept.Link == "":
		return nil
	}
	p.paired = &kept
	return nil
}

func (p *Program) keepHub(kept outbox.Kept) error {
	raw, err := json.Marshal(kept)
	if err == nil {
		err = privatefile.At(filepath.Join(p.folder, hubFile)).Write(raw)
	}
	if err != nil {
		return &folderError{folder: p.folder, err: err}
	}
	return nil
}

// sendToHub begins to send the games to the hub that the bench is paired with. It is
// nil where there is none.
func (p *Program) sendToHub(now func() entry.Millis) *outbox.Outbox {
	if p.paired == nil {
		return nil
	}
	link, err := outbox.ParseLink(p.paired.Link)
	if err != nil {
		p.logger.Error("the link of the hub cannot be read; pair the bench again", "error", err)
		return nil
	}
	file := privatefile.At(filepath.Join(p.folder, hubFile))
	return outbox.New(outbox.Config{
		Ledgers: p.store, Link: link, Kept: *p.paired, Keep: file.Write, Now: now, Logger: p.logger,
	})
}

// sent is ledgers with copies, which also go to a hub.
type sent struct {
	*mirror.Mirror
	box *outbox.Outbox
}

// Append appends and, when the entries are safe here, has them sent. It does not wait
// for that.
func (s sent) Append(ctx context.Context, game string, entries []entry.Entry) error {
	err := s.Mirror.Append(ctx, game, entries)
	if err == nil {
		s.box.Moved(game, entries)
	}
	return err
}

// Forget takes texts out of a game; what the hub gets has none anyway.
func (s sent) Forget(ctx context.Context, game string, commitments []string, lines, entries []entry.Entry) error {
	err := s.Mirror.Forget(ctx, game, commitments, lines, entries)
	s.box.Moved(game, nil)
	return err
}

// hubCopy is how the hub stands, as one more copy.
func (p *Program) hubCopy() []laptop.Copy {
	if p.box == nil {
		return nil
	}
	s := p.box.State()
	return []laptop.Copy{{Folder: s.Hub, State: s.State, Behind: s.Behind, Since: s.Since, Say: s.Say}}
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
		if err := p.pairHub(""); err != nil {
			return err
		}
		if p.paired == nil {
			return message.New("hub.command.unpaired", "folder", p.folder)
		}
		c.To = p.paired.Link
	}
	link, err := outbox.ParseLink(c.To)
	if err != nil {
		return err
	}
	now := func() entry.Millis { return entry.Millis(time.Now().UnixMilli()) }
	done, err := outbox.SendOnce(ctx, link, &http.Client{Timeout: time.Minute}, now, 0, ledger)
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
