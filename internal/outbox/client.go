package outbox

import "context"

// Question is what a bench asks its hub.
type Question struct {
	Method  string
	Address string
	Secret  string // goes along as a bearer token (RFC 6750)
	Body    []byte // JSON Lines; nil: none
}

// Answer is what the hub says to one.
type Answer struct {
	Status     int    // as in RFC 9110
	RetryAfter string // seconds, where it says so
	Body       []byte
}

// AnswerMost is the most bytes of an answer that are read.
const AnswerMost = 64 << 10

// Client carries a question to the hub: over HTTP by itself, or by what a browser has
// for that. An error means that nobody knows whether the hub heard it.
type Client interface {
	Ask(ctx context.Context, q Question) (Answer, error)
}

// Statuses of RFC 9110 that a bench tells apart.
const (
	statusOK           = 200
	statusUnauthorized = 401
	statusTooLarge     = 413
	statusUnread       = 422
)
