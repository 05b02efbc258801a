package main

import (
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"path/filepath"
	"slices"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/game/rules"
	"whistlestop/internal/api/laptop"
	"whistlestop/internal/bench"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/mirror"
	"whistlestop/record/seal"
)

// proposalsMost is how many proposals wait at once; more are named at the next
// start.
const proposalsMost = 100

// declinedMost is how many declined proposals are remembered.
const declinedMost = 2000

// proposal is entries of a copy that follow a game and that nothing shows this
// bench to have written: a person decides about them.
type proposal struct {
	file   string // where they stand; empty: they were sent to the bench
	bench  string // which bench the copy says it is of, as people read it
	here   int    // entries of the game that are here
	ledger []entry.Entry
}

// id names what is proposed by the last of its entries, which holds all before it.
func (o proposal) id() string {
	hash, err := o.ledger[len(o.ledger)-1].Hash()
	if err != nil {
		return ""
	}
	return hash[:32]
}

// proposals are what waits for a decision. It is safe for use by many goroutines.
type proposals struct {
	file   privatefile.File
	disk   durable.Disk // of the copies
	logger *slog.Logger
	live   *bench.Bench
	copies *mirror.Mirror // nil: there are none

	mutex    sync.Mutex
	waiting  []proposal
	declined []string // ids, oldest first
}

func newProposals(file privatefile.File, disk durable.Disk, logger *slog.Logger) *proposals {
	all := &proposals{file: file, disk: disk, logger: logger}
	saved, err := file.Read()
	if err == nil && saved != nil {
		err = json.Unmarshal(saved, &all.declined)
	}
	if err != nil { // what was declined is asked once more
		logger.Warn("what was declined cannot be read", "error", err)
	}
	return all
}

// add puts a proposal before people. It returns false when it was declined
// before, or waits already.
func (a *proposals) add(one proposal) bool {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	id := one.id()
	if id == "" || slices.Contains(a.declined, id) || len(a.waiting) >= proposalsMost {
		return false
	}
	if slices.ContainsFunc(a.waiting, func(other proposal) bool { return other.id() == id }) {
		return false
	}
	a.waiting = append(a.waiting, one)
	return true
}

// Propose puts entries that were sent to the bench before people. What was
// declined before may be decided anew: somebody sent it again.
func (a *proposals) Propose(ledger []entry.Entry, here int) {
	one := proposal{here: here, ledger: ledger}
	a.mutex.Lock()
	a.declined = slices.DeleteFunc(a.declined, func(id string) bool { return id == one.id() })
	a.mutex.Unlock()
	a.add(one)
}

// List shows what waits, in words.
func (a *proposals) List() []laptop.Proposal {
	a.mutex.Lock()
	waiting := slices.Clone(a.waiting)
	a.mutex.Unlock()
	list := []laptop.Proposal{}
	for _, one := range waiting {
		shown, err := one.shown()
		if err != nil {
			a.logger.Error("show a proposal", "game", one.ledger[0].Game, "error", err)
			continue
		}
		list = append(list, shown)
	}
	return list
}

func (o proposal) shown() (laptop.Proposal, error) {
	state, err := bench.Admit(o.ledger)
	if err != nil {
		return laptop.Proposal{}, err
	}
	before, err := rules.Fold(o.ledger[:o.here])
	if err != nil && o.here > 0 {
		return laptop.Proposal{}, err
	}
	shown := laptop.Proposal{
		ID: o.id(), Game: o.ledger[0].Game, Home: state.Teams[0].Name, Visitors: state.Teams[1].Name,
		Bench: o.bench, Here: o.here, Count: len(o.ledger) - o.here, Lines: []rules.Line{},
		Before: [2]int{before.Teams[0].Score, before.Teams[1].Score}, After: [2]int{state.Teams[0].Score, state.Teams[1].Score},
	}
	if o.file != "" {
		shown.File = entry.Shown(filepath.Base(o.file))
	}
	for _, line := range state.Lines {
		if line.Seq > o.here {
			shown.Lines = append(shown.Lines, line)
		}
	}
	return shown, nil
}

// Decide takes what was proposed, or declines it. Nothing waits after that,
// unless taking it failed for now.
func (a *proposals) Decide(ctx context.Context, id string, take bool) (done bench.Restored, err error) {
	a.mutex.Lock()
	at := slices.IndexFunc(a.waiting, func(one proposal) bool { return one.id() == id })
	if at < 0 {
		a.mutex.Unlock()
		return done, &bench.Problem{Kind: bench.Missing, Say: rules.Say{Key: "proposal.gone"}}
	}
	one := a.waiting[at]
	a.mutex.Unlock()
	if take {
		done, err = a.live.Restore(ctx, one.ledger, bench.Taking{Decided: true})
	} else {
		err = a.decline(id)
		if done.Game = one.ledger[0].Game; err == nil {
			done.Aside = a.aside(one)
		}
	}
	var problem *bench.Problem
	if err != nil && (!errors.As(err, &problem) || problem.Kind == bench.Unavailable) {
		return done, err
	}
	a.mutex.Lock()
	defer a.mutex.Unlock()
	a.waiting = slices.DeleteFunc(a.waiting, func(other proposal) bool { return other.id() == id })
	return done, err
}

// aside renames the file that a declined proposal stands in, and has the game
// copied anew beside it. What it proposes is then asked about once only, also by
// another program. It returns the new name, or nothing: where the stick is gone the
// file stays as it is, and the decision is remembered all the same.
func (a *proposals) aside(one proposal) string {
	if one.file == "" {
		return ""
	}
	name, err := mirror.SetAside(a.disk, one.file, one.id()[:8])
	if err != nil {
		a.logger.Warn("a copy that was decided against stays under its name", "file", one.file, "error", err)
		return ""
	}
	if a.copies != nil {
		a.copies.Look(one.ledger[0].Game)
	}
	return filepath.Base(name)
}

// decline remembers a decision, so that the next start does not ask again.
func (a *proposals) decline(id string) error {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	declined := append(slices.Clone(a.declined), id)
	declined = declined[max(0, len(declined)-declinedMost):]
	text, err := json.Marshal(declined)
	if err == nil {
		err = a.file.Write(text)
	}
	if err != nil {
		return &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "proposal.not_kept"}, Cause: err}
	}
	a.declined = declined
	return nil
}

// sealedBefore reports whether a report was closed within entries.
func sealedBefore(ledger []entry.Entry) bool {
	return slices.ContainsFunc(ledger, func(e entry.Entry) bool {
		_, is := e.Body.(entry.Sealed)
		return is && seal.Signed(e)
	})
}
