package store

import (
	"errors"
	"fmt"
)

// ErrMoved is returned by an append that does not follow the newest entry of
// the ledger, or whose entry is in the store already. Nothing was written.
var ErrMoved error = moved{}

// moved is the type of ErrMoved: by its method a caller that does not know this
// package can tell it from a disk that failed.
type moved struct{}

func (moved) Error() string { return "the ledger does not end where this post expects it to end" }

// Moved says that nothing was written, and that writing it again will not help.
func (moved) Moved() bool { return true }

// ErrInUse is returned when another program has the folder open.
var ErrInUse = errors.New("another program has this folder open")

// ErrDamaged is returned when the ledgers cannot be opened because their file is
// not what was written.
var ErrDamaged = errors.New("the database is damaged")

// DamagedError is a ledger that is not as it was written. Seq is the first
// entry that cannot be trusted, from 1.
type DamagedError struct {
	Game string
	Seq  int
	Err  error
}

// Error names the game and the first bad entry.
func (e *DamagedError) Error() string {
	return fmt.Sprintf("game %s, entry %d: %v", e.Game, e.Seq, e.Err)
}

// Unwrap returns the cause.
func (e *DamagedError) Unwrap() error { return e.Err }

// WeakError is a setting of the database that is weaker than what a ledger
// needs to survive a power cut.
type WeakError struct {
	Setting string
	Found   string
	Needed  string
}

// Error names the setting, what was found and what is needed.
func (e *WeakError) Error() string {
	return fmt.Sprintf("the database runs with %s %s, and a game is only safe with %s",
		e.Setting, e.Found, e.Needed)
}
