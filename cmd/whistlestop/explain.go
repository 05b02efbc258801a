package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/alecthomas/kong"

	"whistlestop/game/message"
	"whistlestop/internal/store"
)

// folderError is a folder that cannot keep games.
type folderError struct {
	folder string
	err    error
}

func (e *folderError) Error() string { return e.folder + ": " + e.err.Error() }

func (e *folderError) Unwrap() error { return e.err }

// listenError is an address that cannot be listened on.
type listenError struct {
	address string
	err     error
}

func (e *listenError) Error() string { return e.address + ": " + e.err.Error() }

func (e *listenError) Unwrap() error { return e.err }

// momentError is a moment that the demo does not have.
type momentError struct{ moment, moments string }

func (e *momentError) Error() string { return "no moment " + e.moment }

// end says what went wrong, if anything did, and returns the exit status.
func (p *Program) end(to io.Writer, err error) int {
	var ended *status
	switch {
	case err == nil:
		return 0
	case !errors.As(err, &ended):
		ended = &status{code: 1, err: err}
	}
	if ended.err != nil {
		fmt.Fprintln(to, "whistlestop:", p.explain(ended.err))
	}
	return ended.code
}

// explain says in plain words what went wrong and what to do.
func (p *Program) explain(err error) string {
	var (
		folder *folderError
		listen *listenError
		moment *momentError
		weak   *store.WeakError
		said   *message.Error
		line   *kong.ParseError
	)
	switch {
	case errors.As(err, &line):
		return p.words.lineFault(line)
	case errors.As(err, &said):
		return p.words.reason(said)
	case errors.As(err, &moment):
		return p.words.say("program.unknown_moment", "moment", moment.moment, "moments", moment.moments)
	case errors.As(err, &listen):
		return p.words.say("program.address_taken", "address", listen.address, "why", message.Inside(listen.err))
	case errors.As(err, &weak):
		return p.words.say("program.weak_database", "folder", p.folder,
			"setting", weak.Setting, "found", weak.Found, "needed", weak.Needed)
	case errors.Is(err, store.ErrInUse):
		return p.words.say("program.folder_in_use", "folder", p.folder)
	case errors.Is(err, store.ErrDamaged):
		return p.words.say("program.damaged", "folder", p.folder, "copies", p.ownCopies(), "why", message.Inside(err))
	case errors.Is(err, errNotEmpty):
		return p.words.say("program.demo_not_empty", "folder", p.folder)
	case errors.As(err, &folder):
		return p.words.say("program.folder", "folder", folder.folder, "why", message.Inside(folder.err))
	default:
		return p.words.say("program.failed", "why", message.Inside(err))
	}
}
