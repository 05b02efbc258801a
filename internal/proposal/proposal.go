package proposal

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
	"whistlestop/record/seal"
)

// waitMost is how many proposals wait at once; more are named at the next start.
const waitMost = 100

// declinedMost is how many declined proposals are remembered.
const declinedMost = 2000

// Proposal is entries of a copy that follow a game and that nothing shows this
// bench to have written: a person decides about them.
type Proposal struct {
	File   string // where they stand; empty: they were sent to the bench
	Bench  string // which bench the copy says it is of, as people read it
	Here   int    // entries of the game that are here
	Ledger []entry.Entry
}

// id names what is proposed by the last of its entries, which holds all before it.
func (o Proposal) id() string {
	hash, err := o.Ledger[len(o.Ledger)-1].Hash()
	if err != nil {
		return ""
	}
	return hash[:32]
}

// File keeps what was declined. Read returns nil where nothing was written yet.
type File interface {
	Read() ([]byte, error)
	Write(content []byte) error
}

// Config is what the proposals lie on.
type Config struct {
	Declined File
	Logger   *slog.Logger
	// Aside keeps the file of a copy that was decided against under another name, and
	// returns that; empty where it could not. Nil: copies stand in no files.
	Aside func(p Proposal, mark string) string
}

// Proposals are what waits for a decision. It is safe for use by many goroutines.
type Proposals struct {
	c    Config
	live *bench.Bench

	mutex    sync.Mutex
	waiting  []Proposal
	declined []string // ids, oldest first
}

// New reads what was declined before. Where that cannot be read it is asked once more.
func New(c Config) *Proposals {
	all := &Proposals{c: c}
	saved, err := c.Declined.Read()
	if err == nil && saved != nil {
		err = json.Unmarshal(saved, &all.declined)
	}
	if err != nil {
		c.Logger.Warn("what was declined cannot be read", "error", err)
	}
	return all
}

// Over says into which bench's games goes what people take. It is called once, before
// anything is decided.
func (a *Proposals) Over(live *bench.Bench) { a.live = live }

// Add puts a proposal before people. It returns false when it was declined
// before, or waits already.
func (a *Proposals) Add(one Proposal) bool {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	id := one.id()
	if id == "" || slices.Contains(a.declined, id) || len(a.waiting) >= waitMost {
		return false
	}
	if slices.ContainsFunc(a.waiting, func(other Proposal) bool { return other.id() == id }) {
		return false
	}
	a.waiting = append(a.waiting, one)
	return true
}

// Propose puts entries that were sent to the bench before people. What was
// declined before may be decided anew: somebody sent it again.
func (a *Proposals) Propose(ledger []entry.Entry, here int) {
	one := Proposal{Here: here, Ledger: ledger}
	a.mutex.Lock()
	a.declined = slices.DeleteFunc(a.declined, func(id string) bool { return id == one.id() })
	a.mutex.Unlock()
	a.Add(one)
}

// List shows what waits, in words.
func (a *Proposals) List() []laptop.Proposal {
	a.mutex.Lock()
	waiting := slices.Clone(a.waiting)
	a.mutex.Unlock()
	list := []laptop.Proposal{}
	for _, one := range waiting {
		shown, err := one.shown()
		if err != nil {
			a.c.Logger.Error("show a proposal", "game", one.Ledger[0].Game, "error", err)
			continue
		}
		list = append(list, shown)
	}
	return list
}

func (o Proposal) shown() (laptop.Proposal, error) {
	state, err := bench.Admit(o.Ledger)
	if err != nil {
		return laptop.Proposal{}, err
	}
	before, err := rules.Fold(o.Ledger[:o.Here])
	if err != nil && o.Here > 0 {
		return laptop.Proposal{}, err
	}
	shown := laptop.Proposal{
		ID: o.id(), Game: o.Ledger[0].Game, Home: state.Teams[0].Name, Visitors: state.Teams[1].Name,
		Bench: o.Bench, Here: o.Here, Count: len(o.Ledger) - o.Here, Lines: []rules.Line{},
		Before: [2]int{before.Teams[0].Score, before.Teams[1].Score}, After: [2]int{state.Teams[0].Score, state.Teams[1].Score},
	}
	if o.File != "" {
		shown.File = entry.Shown(filepath.Base(o.File))
	}
	for _, line := range state.Lines {
		if line.Seq > o.Here {
			shown.Lines = append(shown.Lines, line)
		}
	}
	return shown, nil
}

// Decide takes what was proposed, or declines it. Nothing waits after that,
// unless taking it failed for now.
func (a *Proposals) Decide(ctx context.Context, id string, take bool) (done bench.Restored, err error) {
	a.mutex.Lock()
	at := slices.IndexFunc(a.waiting, func(one Proposal) bool { return one.id() == id })
	if at < 0 {
		a.mutex.Unlock()
		return done, &bench.Problem{Kind: bench.Missing, Say: rules.Say{Key: "proposal.gone"}}
	}
	one := a.waiting[at]
	a.mutex.Unlock()
	if take {
		done, err = a.live.Restore(ctx, one.Ledger, bench.Taking{Decided: true})
	} else {
		err = a.decline(id)
		if done.Game = one.Ledger[0].Game; err == nil {
			done.Aside = a.aside(one)
		}
	}
	var problem *bench.Problem
	if err != nil && (!errors.As(err, &problem) || problem.Kind == bench.Unavailable) {
		return done, err
	}
	a.mutex.Lock()
	defer a.mutex.Unlock()
	a.waiting = slices.DeleteFunc(a.waiting, func(other Proposal) bool { return other.id() == id })
	return done, err
}

// aside has the file of a declined proposal kept under another name, so that it is
// asked about once only, also by another program.
func (a *Proposals) aside(one Proposal) string {
	if one.File == "" || a.c.Aside == nil {
		return ""
	}
	return a.c.Aside(one, one.id()[:8])
}

// decline remembers a decision, so that the next start does not ask again.
func (a *Proposals) decline(id string) error {
	a.mutex.Lock()
	defer a.mutex.Unlock()
	declined := append(slices.Clone(a.declined), id)
	declined = declined[max(0, len(declined)-declinedMost):]
	text, err := json.Marshal(declined)
	if err == nil {
		err = a.c.Declined.Write(text)
	}
	if err != nil {
		return &bench.Problem{Kind: bench.Unavailable, Say: rules.Say{Key: "proposal.not_kept"}, Cause: err}
	}
	a.declined = declined
	return nil
}

// AfterSeal reports whether a report was closed before the entries that are proposed:
// then nothing of them is ever taken.
func (o Proposal) AfterSeal() bool {
	return slices.ContainsFunc(o.Ledger[:o.Here], func(e entry.Entry) bool {
		_, is := e.Body.(entry.Sealed)
		return is && seal.Signed(e)
	})
}
