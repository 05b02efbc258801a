package bench

import (
	"context"
	"crypto/rand"
	"time"

	"github.com/oklog/ulid/v2"

	"whistlestop/game/entry"
)

// Log keeps ledgers. Append adds the entries of one post to the end of a game's
// ledger, all or none, and returns only when they are safe. After an error the
// bench takes nothing for granted: it loads the ledger again.
type Log interface {
	Append(ctx context.Context, game string, entries []entry.Entry) error
	Load(ctx context.Context, game string) ([]entry.Entry, error)
	Games(ctx context.Context) ([]string, error) // newest first
}

// Clock tells the time in milliseconds of Unix time. It must not step.
type Clock interface {
	Now() entry.Millis
}

// IDs makes the ids of what the bench itself posts.
type IDs interface {
	New(now entry.Millis) string
}

// Hides is IDs that also give the random bytes which hide a text about a person
// in the line of an entry (entry.KeepApart). With ids that do not, as those of a
// practice with invented people, texts stay inside the lines.
type Hides interface {
	Random() []byte // entry.RandomBytes of them
}

// steadyClock is the wall clock at its start, carried on by the monotonic clock:
// setting the system's clock while a game is on moves nothing.
type steadyClock struct {
	wall    entry.Millis
	elapsed func() time.Duration
}

// SteadyClock returns a clock that reads the system's wall clock once and from
// then on follows the monotonic clock only.
func SteadyClock() Clock {
	start := time.Now()
	return newSteadyClock(start, func() time.Duration { return time.Since(start) })
}

// SteadyClockAt returns a clock that begins with an instant and from then on
// follows the monotonic clock only.
func SteadyClockAt(now entry.Millis) Clock {
	start := time.Now()
	return steadyClock{wall: now, elapsed: func() time.Duration { return time.Since(start) }}
}

func newSteadyClock(start time.Time, elapsed func() time.Duration) steadyClock {
	return steadyClock{wall: entry.Millis(start.UnixMilli()), elapsed: elapsed}
}

// Now returns the time in milliseconds of Unix time.
func (c steadyClock) Now() entry.Millis {
	return c.wall + entry.Millis(c.elapsed().Milliseconds())
}

type ulids struct{}

// ULIDs returns ids that sort by time and cannot be guessed.
func ULIDs() IDs { return ulids{} }

// Random returns bytes that nobody can guess.
func (ulids) Random() []byte {
	bytes := make([]byte, entry.RandomBytes)
	_, _ = rand.Read(bytes) // it never fails: the program ends before it would
	return bytes
}

// New returns a ULID of the instant.
func (ulids) New(now entry.Millis) string {
	return ulid.MustNew(uint64(max(0, now)), rand.Reader).String()
}
