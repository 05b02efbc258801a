package ledgers

import (
	"context"
	"fmt"

	"whistlestop/game/entry"
)

// Where is one game of one association. The association is part of every key, so
// that no question can reach another one's games.
type Where struct {
	Association string
	Game        string
}

// Line is one entry of a ledger as it was hashed.
type Line struct {
	Seq   int    // place in the ledger, from 1
	ID    string // of the entry
	Prev  string // hash of the line before; empty for the first
	Hash  string // by which the next line names this one
	Bytes []byte

	// Stands is the SHA-256 of Bytes where the hub took texts about people out of the line
	// itself: Hash is then of the bytes that came, which are not kept. Only lines that
	// come in have it; see Older for those that are kept.
	Stands string
	// Fingerprint is that of a seal of which Stands is said, where its signature fits.
	Fingerprint string
}

// Older is a line of version 1 of which the hub read the bytes that were hashed, and keeps
// a copy without the texts about people that were in them.
type Older struct {
	Hash   string // of the bytes that came
	Stands string // SHA-256 of the copy

	// Fingerprint is that of a seal whose signature fitted the bytes that came; empty for
	// other entries, and where it did not.
	Fingerprint string
}

// Head is where a ledger ends. A game that nobody sent yet has the zero head.
type Head struct {
	Epoch int // who may write: raised when a game is handed over; from 1
	Seq   int
	Hash  string

	// Forked says that two benches went on from one entry and nobody has decided yet.
	// Common is then the last entry that both have.
	Forked bool
	Common int
}

// Shown is the last entry that everybody may rely on.
func (h Head) Shown() int {
	if h.Forked {
		return h.Common
	}
	return h.Seq
}

// News is what is new of a game.
type News struct {
	Head     Head
	First    string // hash of the first line
	Branches int    // how many stand beside the ledger
	Lines    []Line
}

// Branch is lines that stand beside a ledger because others stand in their places.
type Branch struct {
	Number  int    // from 1
	Base    int    // the first place at which it differs
	Seq     int    // its end
	Hash    string // of its newest line
	Made    entry.Millis
	Decided bool // a person chose between it and the ledger
}

// Game is a game in a list.
type Game struct {
	ID    string
	Heard entry.Millis // when the hub took its newest line, milliseconds of Unix time
	Head
}

// Note is a line of the log of what people did: who, what, about which object, from
// where. It has no content of what was changed.
type Note struct {
	At     entry.Millis
	Who    string // id of a token, or a command
	What   string // a word of the catalogue: hub.log and this
	Object string
	From   string // shortened address; empty: this computer
}

// Store keeps ledgers. All of it is safe for use by many goroutines, and what it
// changes survives a power cut once it returns.
type Store interface {
	// Head returns where a ledger ends.
	Head(ctx context.Context, at Where) (Head, error)
	// Append takes lines that follow each other from a bench that writes under an
	// epoch. It returns where the ledger ends afterwards. Lines that are there already
	// are no mistake. It returns a *FencedError, a *GapError, a *ForkError (what
	// the bench sent is kept then as far as it says) or a *TwiceError.
	Append(ctx context.Context, at Where, epoch int, lines []Line, now entry.Millis) (Head, error)
	// Lines returns lines after a place, in their order, most of them at most.
	Lines(ctx context.Context, at Where, after, most int) ([]Line, error)
	// News returns what whoever shows a game must know of it, with lines behind a place, most
	// of them at most, as far as everybody may rely on them: by one question, because all who
	// follow wait for it. It is the zero News where the game is not there.
	News(ctx context.Context, at Where, after, most int) (News, error)
	// HashAt returns the hash of the line at a place; empty where there is none.
	HashAt(ctx context.Context, at Where, seq int) (string, error)
	// OlderLines returns the lines of a game, and of what stands beside it, of which the hub
	// took out texts about people, in the order of their hashes.
	OlderLines(ctx context.Context, at Where) ([]Older, error)
	// Branches returns what stands beside a ledger, the oldest first.
	Branches(ctx context.Context, at Where) ([]Branch, error)
	// BranchLines returns the lines of a branch from its base on.
	BranchLines(ctx context.Context, at Where, branch int) ([]Line, error)
	// Choose decides a fork: for the ledger as it stands (0), or for a branch, which
	// then takes the places of the other lines; those are kept as a branch.
	Choose(ctx context.Context, at Where, branch int, note Note) (Head, error)
	// Raise begins a new epoch: whoever wrote under an earlier one is fenced off.
	Raise(ctx context.Context, at Where, note Note) (Head, error)
	// Games returns all games of an association, the one heard last first.
	Games(ctx context.Context, association string) ([]Game, error)
}

// GapError says that lines are missing before those that were sent.
type GapError struct{ Want int }

// Error names the first missing place.
func (e *GapError) Error() string { return fmt.Sprintf("send from entry %d on", e.Want) }

// ForkError says that another line stands at a place.
type ForkError struct {
	Seq  int // the first place that is known to differ
	Kept int // the bench's own lines are kept up to here; 0: send from where the two part
}

// Error names the place.
func (e *ForkError) Error() string { return fmt.Sprintf("another entry stands at %d", e.Seq) }

// FencedError says that the game was handed over to another bench.
type FencedError struct{ Epoch int }

// Error names the epoch that counts.
func (e *FencedError) Error() string { return fmt.Sprintf("epoch %d has begun", e.Epoch) }

// TwiceError says that an id stands in the ledger at another place already.
type TwiceError struct{ ID string }

// Error names the id.
func (e *TwiceError) Error() string { return "entry " + e.ID + " stands at another place" }

// ErrNoBranch is what Choose returns for a branch that is not there.
var ErrNoBranch = fmt.Errorf("there is no such branch")

// ErrNoGame is what Raise and Choose return for a game that is not there.
var ErrNoGame = fmt.Errorf("there is no such game")

// Name is the name of a player as everybody may be shown it, by the commitment in a line.
type Name struct {
	Commitment string
	Naming     string // how it is shown: see league.Shown
	Text       string
	Older      bool // it stood inside a line of version 1
}
