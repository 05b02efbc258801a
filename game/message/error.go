package message

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
)

// Error is a sentence that says why something was not done. The cause, where
// there is one, stays in reach of errors.Is and errors.As, and its sentence
// stands in the gap {why}.
type Error struct {
	Say   Say
	Cause error
}

// Error gives the key and the arguments, for logs. People get Of(err), put into
// words by a catalogue.
func (e *Error) Error() string { return e.Message().String() }

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Cause }

// Message returns the sentence with that of its cause inside.
func (e *Error) Message() Say {
	if e.Cause == nil {
		return e.Say
	}
	return Say{Key: e.Say.Key, Args: append(slices.Clip(e.Say.Args), Arg{Name: "why", Text: Inside(e.Cause)})}
}

// Inside is the sentence of an error as it stands in the gap of another one. What no
// package of ours made, such as what the system says of a file, stands as it is.
func Inside(err error) string {
	if say, ours := of(err); ours {
		return "@" + say.String()
	}
	return err.Error()
}

// New returns an error that says the sentence of a key. What fills its gaps
// follows as names and values in turn.
func New(key string, pairs ...any) error {
	return &Error{Say: Say{Key: key, Args: args(pairs)}}
}

// Because is New with a cause.
func Because(cause error, key string, pairs ...any) *Error {
	return &Error{Say: Say{Key: key, Args: args(pairs)}, Cause: cause}
}

// In says in which file a fault is.
func In(file string, fault error) error { return Because(fault, "file.in", "file", file) }

// At says in which file and on which of its lines, from 1, a fault is.
func At(file string, line int, fault error) error {
	return Because(fault, "file.at", "file", file, "line", line)
}

// AtLine says on which line, from 1, of a file that everybody knows a fault is.
func AtLine(line int, fault error) error { return Because(fault, "file.line", "line", line) }

// Nested is a sentence as it stands in the gap of another one.
func Nested(key string, pairs ...any) string {
	return "@" + Say{Key: key, Args: args(pairs)}.String()
}

// Of returns the sentence of any error.
func Of(err error) Say {
	if say, ours := of(err); ours {
		return say
	}
	return Say{Key: "file.plain", Args: Pairs("text", err.Error())}
}

func of(err error) (Say, bool) {
	var speaks interface {
		error
		Message() Say
	}
	if errors.As(err, &speaks) {
		return speaks.Message(), true
	}
	return Say{}, false
}

// Plain is a text from outside as it may stand between quotes in a sentence: what
// cannot be seen, or would end the quotes, is written as an escape.
func Plain[T ~string](text T) string {
	quoted := strconv.Quote(string(text))
	return quoted[1 : len(quoted)-1]
}

// args makes arguments of names and values in turn.
func args(pairs []any) Args {
	if len(pairs) == 0 {
		return nil
	}
	list := make(Args, 0, len(pairs)/2)
	for i := 0; i+1 < len(pairs); i += 2 {
		list = append(list, Arg{Name: fmt.Sprint(pairs[i]), Text: fmt.Sprint(pairs[i+1])})
	}
	return list
}
