package bench

import (
	"errors"

	"whistlestop/game/rules"
)

// Kind says what a caller can do about a problem.
type Kind int

// The kinds of problems.
const (
	// Refused: the entries cannot be posted as they are. Nothing was kept.
	Refused Kind = iota + 1
	// Missing: there is no such game.
	Missing
	// Conflict: the id is taken by something else.
	Conflict
	// Outdated: somebody else edited the same entry meanwhile. Nothing was kept.
	Outdated
	// Unavailable: the bench cannot keep entries at the moment. Trying again
	// with the same ids is safe.
	Unavailable
	// TooMany: a seat posts faster than anybody can. Nothing was kept; the same may
	// be tried again in a minute.
	TooMany
	// Faulty: the program itself failed. Nothing was kept.
	Faulty
)

// Problem is why the bench did not do what it was asked, in words for people by
// their key in the catalogue.
type Problem struct {
	Kind    Kind
	Say     rules.Say
	Refused []rules.Refusal
	Stale   *Stale // where the kind is Outdated
	Cause   error  // for the log, not for people
}

// Error returns the key of the message and the cause.
func (p *Problem) Error() string {
	if p.Cause != nil {
		return p.Say.Key + ": " + p.Cause.Error()
	}
	return p.Say.Key
}

// Unwrap returns the cause.
func (p *Problem) Unwrap() error { return p.Cause }

func say(key string, pairs ...string) rules.Say {
	return rules.Say{Key: key, Args: rules.Pairs(pairs...)}
}

// refuse returns a refusal of one entry.
func refuse(id, field string, why rules.Say) error {
	return &Problem{
		Kind: Refused, Say: say("bench.refused"),
		Refused: []rules.Refusal{{Entry: id, Field: field, Say: why}},
	}
}

func problem(kind Kind, cause error, key string, pairs ...string) error {
	return &Problem{Kind: kind, Say: say(key, pairs...), Cause: cause}
}

// isKind reports whether err is a problem of the kind.
func isKind(err error, kind Kind) bool {
	var p *Problem
	return errors.As(err, &p) && p.Kind == kind
}
