package seats

import (
	"fmt"

	"whistlestop/game/entry"
)

// The limits of guessing at codes.
const (
	// codeMisses burns a code: ten tries at 34.5 bits.
	codeMisses = 10
	// guessesMost are the misses in a row, at whatever codes and from wherever,
	// until everybody has to wait (NIST SP 800-63B-4, rate limiting: at most 100).
	guessesMost = 100
	waitLeast   = entry.Millis(30_000)
	waitMost    = entry.Millis(3600_000)
)

// WaitError says that nobody may type a code for a while, because too many wrong
// ones were typed. The links of QR codes and the seats that are paired go on.
type WaitError struct{ Left entry.Millis }

func (e *WaitError) Error() string {
	return fmt.Sprintf("too many wrong codes; wait %d ms", e.Left)
}

// guesses counts the wrong codes in a row.
type guesses struct {
	misses int
	until  entry.Millis // nobody may type before
}

func (g *guesses) wait(now entry.Millis) error {
	if now < g.until {
		return &WaitError{Left: g.until - now}
	}
	return nil
}

// miss counts a wrong code. From the hundredth on the waits double.
func (g *guesses) miss(now entry.Millis) {
	g.misses++
	if g.misses < guessesMost {
		return
	}
	wait := waitMost
	if doubled := g.misses - guessesMost; doubled < 7 { // 30 s << 7 is more than an hour
		wait = waitLeast << doubled
	}
	g.until = now + wait
}

func (g *guesses) hit() { *g = guesses{} }
