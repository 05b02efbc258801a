package main

import (
	"context"
	"path/filepath"
	"strconv"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/game/rules"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/keyfile"
	"whistlestop/internal/mirror"
	"whistlestop/internal/proposal"
	"whistlestop/record/seal"
)

// headsFile is the second record of where every game ends, beside the database.
const headsFile = "heads.txt"

// ownCopies is the folder of the copies that are always kept, beside the
// database: they bring back what a damaged page of it lost.
func (p *Program) ownCopies() string { return filepath.Join(p.folder, "copies") }

// benchKey is where the bench's key is kept.
func (p *Program) benchKey() *keyfile.Keys { return keyfile.New(p.private("bench-key.pem")) }

// prepareCopies takes the folders for copies and the record of where games end.
// Whatever it finds, the bench starts: one bad game, or one bad stick, must not
// end the others.
func (p *Program) prepareCopies(more []string) error {
	if err := durable.MakeFolder(p.ownCopies()); err != nil {
		return &folderError{folder: p.ownCopies(), err: err}
	}
	if key, err := p.benchKey().Key(); err == nil {
		p.marks = mirror.NewMarks(seal.Key(key))
	} else {
		p.tell(rules.Say{Key: "start.no_key", Args: rules.Pairs("why", message.Inside(err))})
	}
	p.beginProposals()
	p.copyTo = append([]string{p.ownCopies()}, more...)
	heads, err := mirror.WithHeads(p.store, p.systemDisk(), filepath.Join(p.folder, headsFile))
	if err != nil {
		p.logger.Warn("the record of where the games end cannot be read and is made anew", "error", err)
	}
	p.heads = heads
	p.comparing = &comparing{program: p}
	p.first = mirror.NewFirst(p.heads, p.comparing.game)
	p.mindNamesEnded()
	p.first.Ended = p.ended.Has
	return nil
}

func (p *Program) systemDisk() durable.Disk {
	if p.disk == nil {
		return durable.System()
	}
	return p.disk
}

// missing names the games whose newest entries were kept once and are gone.
func (p *Program) missing(ctx context.Context) {
	gone, err := p.heads.Missing(ctx, p.store)
	if err != nil {
		p.logger.Error("look for missing ends", "error", err)
	}
	for _, one := range gone {
		key := "start.short"
		if one.Other {
			key = "start.other_end"
		}
		p.tell(rules.Say{Key: key, Args: rules.Pairs("game", one.Game, "number", strconv.Itoa(one.Seq),
			"here", strconv.Itoa(one.Here), "folder", p.folder)})
	}
}

// weigh brings back what the end of a ledger lacks where this bench wrote it,
// proposes what it did not, and says what else a copy shows. Games that only a
// stick knows stay there: it may come from elsewhere.
func (p *Program) weigh(ctx context.Context, f mirror.Finding, own bool) {
	pairs := []string{"game", f.Game, "file", f.File, "copied", strconv.Itoa(f.Copied), "number", strconv.Itoa(f.First)}
	switch {
	case f.Broken != nil:
		p.changed(f.Game)
		p.tell(rules.Say{Key: "start.broken", Args: rules.Pairs(append(pairs, "why", message.Inside(f.Broken))...)})
	case f.Forked:
		p.tell(rules.Say{Key: "start.forked", Args: rules.Pairs(pairs...)})
	case f.Lacks() && (own || f.Here > 0):
		p.bringBack(ctx, f, pairs)
	case f.Bad != nil:
		p.tell(rules.Say{Key: "start.bad_copy", Args: rules.Pairs(append(pairs, "why", message.Inside(f.Bad))...)})
	}
}

// bringBack takes the entries of a copy that this bench wrote, and proposes the
// rest.
func (p *Program) bringBack(ctx context.Context, f mirror.Finding, pairs []string) {
	if _, err := bench.Admit(f.Ledger); err != nil {
		p.tell(rules.Say{Key: "start.bad_copy", Args: rules.Pairs(append(pairs, "why", message.Inside(said(err)))...)})
		return
	}
	if f.Own > f.Here {
		if err := p.store.Append(ctx, f.Game, f.Ledger[f.Here:f.Own]); err != nil {
			p.tell(rules.Say{Key: "start.not_mended", Args: rules.Pairs(append(pairs, "why", message.Inside(err))...)})
			return
		}
		p.changed(f.Game)
		p.tell(rules.Say{Key: "start.mended", Args: rules.Pairs(append(pairs, "count", strconv.Itoa(f.Own-f.Here))...)})
	}
	if here := max(f.Here, f.Own); f.Copied > here {
		p.propose(proposal.Proposal{File: f.File, Bench: seal.KeyName(f.Bench), Here: here, Ledger: f.Ledger})
	}
}

// changed says that the list has to look at a game anew.
func (p *Program) changed(game string) {
	if live := p.lists.Load(); live != nil {
		live.Changed(game)
	}
}

// propose puts entries that this bench cannot have written before people. After a
// seal they are only named: a sealed report takes nothing from a copy.
func (p *Program) propose(one proposal.Proposal) {
	key := "start.proposed"
	if one.AfterSeal() {
		key = "start.after_seal"
	} else if !p.proposals.Add(one) {
		return
	}
	p.tell(rules.Say{Key: key, Args: rules.Pairs("game", one.Ledger[0].Game, "file", one.File,
		"count", strconv.Itoa(len(one.Ledger)-one.Here))})
}

// tell keeps for the bench screen what people should know of the start.
func (p *Program) tell(what rules.Say) {
	for i := range what.Args { // names of files on a stick
		what.Args[i].Text = entry.Shown(what.Args[i].Text)
	}
	p.foundMutex.Lock()
	p.found = append(p.found, what)
	p.foundMutex.Unlock()
	p.logger.Warn(p.words.say(what.Key, flatten(what.Args)...))
}

func flatten(args rules.Args) []string {
	pairs := make([]string, 0, 2*len(args))
	for _, a := range args {
		pairs = append(pairs, a.Name, a.Text)
	}
	return pairs
}

// copyState is how the copies stand, for the bench screen.
func (p *Program) copyState() laptop.CopyReport {
	report := laptop.CopyReport{Copies: []laptop.Copy{}, Start: p.toldAtStart()}
	for i, c := range p.copies.State() {
		report.Copies = append(report.Copies, laptop.Copy{
			Folder: c.Folder, State: string(c.State), Behind: c.Behind, Since: c.Since, Say: c.Say, Own: i == 0,
		})
	}
	if hub, is := p.paired.State(); is {
		report.Copies = append(report.Copies, laptop.Copy{Folder: hub.Hub, State: hub.State, Hub: true, Behind: hub.Behind, Since: hub.Since, Say: hub.Say})
	}
	return report
}

// readCopy reads a copy that was sent to the bench.
func (p *Program) readCopy(content []byte) (games []laptop.CopiedGame, torn bool, err error) {
	read, torn, err := mirror.Read(content)
	for _, g := range read {
		games = append(games, laptop.CopiedGame{Ledger: g.Ledger, Line: g.Line, Bad: g.Bad, Own: p.marks.Own(g.Ledger, nil)})
	}
	return games, torn, err
}

// beginProposals reads what people decided against before.
func (p *Program) beginProposals() {
	p.proposals = proposal.New(proposal.Config{Declined: p.private("declined.json"), Logger: p.logger, Aside: p.setAside})
}

// setAside renames the file that a declined proposal stands in, and has the game
// copied anew beside it. It returns the new name, or nothing: where the stick is gone
// the file stays as it is, and the decision is remembered all the same.
func (p *Program) setAside(one proposal.Proposal, mark string) string {
	name, err := mirror.SetAside(p.systemDisk(), one.File, mark)
	if err != nil {
		p.logger.Warn("a copy that was decided against stays under its name", "file", one.File, "error", err)
		return ""
	}
	if p.copies != nil {
		p.copies.Look(one.Ledger[0].Game)
	}
	return filepath.Base(name)
}
