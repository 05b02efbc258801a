package mail

import (
	"context"
	"errors"
	"strings"
	"time"
)

// Letter is one mail to one person, as plain text.
type Letter struct {
	// ID is the letter's own: letters, digits and hyphens. It is the left side of the
	// Message-ID (RFC 5322, 3.6.4), so that a program which gets a letter twice can tell.
	ID, To  string
	Subject string
	Text    string
	// Leave is an https address at which a POST says that the person wants no more
	// (RFC 8058); empty: they say so by answering.
	Leave string
	// Asked says that the person asked for this letter just now, such as a link to sign in:
	// it is no part of a list that could be left.
	Asked bool
}

// Sender sends letters. Send returns nil once the server has taken the letter, and
// otherwise a *Fault.
type Sender interface {
	Send(ctx context.Context, l Letter) error
	// From is who letters come from, as readers see it.
	From() string
}

// Outcome is what came of sending a letter.
type Outcome int

// What can come of it.
const (
	Sent    Outcome = iota
	Later           // the server could not take this letter now: it may be sent again
	Refused         // the server will not take this letter, however often
	Perhaps         // the whole letter was there and no answer came: nobody knows
	Closed          // no letter can be sent now: the server, the way to it, or the login
)

// Fault is why a letter was not sent, or may not have been.
type Fault struct {
	Outcome
	Code int    // that the server answered with; 0: it did not
	Said string // what it said, or what went wrong, for a person to read
}

// Error is what was said.
func (f *Fault) Error() string { return f.Said }

// Came is what came of sending a letter, by the error of Send. An error that is no Fault is
// of the way to the server.
func Came(err error) Outcome {
	var f *Fault
	switch {
	case err == nil:
		return Sent
	case errors.As(err, &f):
		return f.Outcome
	}
	return Closed
}

// triesMost is how often a letter is tried before it counts as one that cannot be sent
// (ours): after half a day in all.
const triesMost = 7

// waits are how long to wait after so many tries in vain. RFC 5321 (4.5.4.1) asks for at
// least 30 minutes between tries where a server is down, with sooner ones at the
// beginning, since many say "later" once to tell programs from spam.
var waits = []time.Duration{time.Minute, 5 * time.Minute, 15 * time.Minute, 30 * time.Minute, 2 * time.Hour, 8 * time.Hour}

// Again is how long to wait after so many tries in vain, from 1, and whether to try again
// at all.
func Again(tries int) (wait time.Duration, again bool) {
	if tries >= triesMost {
		return 0, false
	}
	return waits[min(max(tries, 1), len(waits))-1], true
}

// addressMost is the longest address (RFC 5321, 4.5.3.1.3, without the angle brackets).
const addressMost = 254

// Address finds the one address of mail in what somebody wrote about how they are reached;
// false where there is none, or more than one.
func Address(reach string) (address string, found bool) {
	for _, word := range strings.FieldsFunc(reach, func(r rune) bool { return strings.ContainsRune(" \t\n,;<>()", r) }) {
		if !strings.Contains(word, "@") {
			continue
		}
		if found || !isAddress(word) {
			return "", false
		}
		address, found = word, true
	}
	return address, found
}

// isAddress: words of letters, digits and signs with single full stops between, and a domain
// of at least two names (RFC 5321, 4.1.2, without quoted words and addresses of computers).
func isAddress(text string) bool {
	local, domain, _ := strings.Cut(text, "@")
	if len(text) > addressMost || !parts(local, "!#$%&'*+-/=?^_`{|}~") || !parts(domain, "-") || !strings.Contains(domain, ".") {
		return false
	}
	for name := range strings.SplitSeq(domain, ".") {
		if strings.HasPrefix(name, "-") || strings.HasSuffix(name, "-") {
			return false
		}
	}
	return true
}

// parts: words with full stops between, of ASCII letters, digits and further signs.
func parts(text, signs string) bool {
	for word := range strings.SplitSeq(text, ".") {
		if word == "" {
			return false
		}
		for _, b := range []byte(word) {
			if (b < 'a' || b > 'z') && (b < 'A' || b > 'Z') && (b < '0' || b > '9') && strings.IndexByte(signs, b) < 0 {
				return false
			}
		}
	}
	return true
}
