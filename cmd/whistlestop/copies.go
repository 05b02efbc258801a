package main

import (
	"context"
	"path/filepath"
	"strconv"

	"whistlestop/game/rules"
	"whistlestop/internal/durable"
	"whistlestop/internal/mirror"
	"whistlestop/internal/web"
)

// ownCopies is the folder of the copies that are always kept, beside the
// database: they bring back what a damaged page of it lost.
func (p *Program) ownCopies() string { return filepath.Join(p.folder, "copies") }

// prepareCopies takes the folders for copies, and holds the games against what
// is in them already.
func (p *Program) prepareCopies(ctx context.Context, more []string) error {
	if err := durable.MakeFolder(p.ownCopies()); err != nil {
		return &folderError{folder: p.ownCopies(), err: err}
	}
	p.copyTo = append([]string{p.ownCopies()}, more...)
	for i, folder := range p.copyTo {
		found, err := mirror.Compare(ctx, p.store, durable.System(), folder)
		if err != nil {
			p.tell(rules.Say{Key: "start.not_compared", Args: rules.Pairs("folder", folder, "why", err.Error())})
			continue
		}
		for _, f := range found {
			if err := p.mend(ctx, f, i == 0); err != nil {
				return &folderError{folder: p.folder, err: err}
			}
		}
	}
	return nil
}

// mend brings back what the end of a ledger lacks, and says what else a copy
// shows. Games that only a stick knows stay there: it may come from elsewhere.
func (p *Program) mend(ctx context.Context, f mirror.Finding, own bool) error {
	pairs := []string{"game", f.Game, "file", f.File, "copied", strconv.Itoa(f.Copied), "number", strconv.Itoa(f.First)}
	switch {
	case f.Broken != nil:
		p.tell(rules.Say{Key: "start.broken", Args: rules.Pairs(append(pairs, "why", f.Broken.Error())...)})
	case f.Forked:
		p.tell(rules.Say{Key: "start.forked", Args: rules.Pairs(pairs...)})
	case f.Lacks() && (own || f.Here > 0):
		if err := mirror.Mend(ctx, p.store, f); err != nil {
			return err
		}
		p.tell(rules.Say{Key: "start.mended", Args: rules.Pairs(append(pairs, "count", strconv.Itoa(f.Copied-f.Here))...)})
	case f.Bad != nil:
		p.tell(rules.Say{Key: "start.bad_copy", Args: rules.Pairs(append(pairs, "why", f.Bad.Error())...)})
	}
	return nil
}

// tell keeps for the bench screen what people should know of the start.
func (p *Program) tell(what rules.Say) {
	p.found = append(p.found, what)
	p.logger.Warn(say(what.Key, flatten(what.Args)...))
}

func flatten(args rules.Args) []string {
	pairs := make([]string, 0, 2*len(args))
	for _, a := range args {
		pairs = append(pairs, a.Name, a.Text)
	}
	return pairs
}

// copyState is how the copies stand, for the bench screen.
func (p *Program) copyState() web.CopyReport {
	report := web.CopyReport{Copies: []web.Copy{}, Start: p.found}
	for i, c := range p.copies.State() {
		report.Copies = append(report.Copies, web.Copy{
			Folder: c.Folder, State: string(c.State), Behind: c.Behind, Since: c.Since, Say: c.Say, Own: i == 0,
		})
	}
	return report
}

// readCopy reads a copy that was sent to the bench.
func readCopy(content []byte) (games []web.CopiedGame, torn bool, err error) {
	read, torn, err := mirror.Read(content)
	for _, g := range read {
		games = append(games, web.CopiedGame{Ledger: g.Ledger, Line: g.Line, Bad: g.Bad})
	}
	return games, torn, err
}
