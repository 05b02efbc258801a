package bus

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
)

// Message says that a line came in, or that the lines of a game are others than before.
type Message struct {
	Association, Game string
	Epoch             int
	Seq               int    // place of the line; 0: other lines stand in their places, or another bench writes
	Turn              int64  // of a message without a line: which one it is
	Line              []byte // as it was hashed
}

// ID names what a message says: a bus that is given the same again may leave it out.
// After a choice another line may stand at a place, and two associations may have a game
// of one id: neither is the same again.
func (m Message) ID() string {
	if m.Seq == 0 {
		return fmt.Sprintf("%s:%s:%d:0:%d", m.Association, m.Game, m.Epoch, m.Turn)
	}
	sum := sha256.Sum256(m.Line)
	return fmt.Sprintf("%s:%s:%d:%d:%x", m.Association, m.Game, m.Epoch, m.Seq, sum[:6])
}

// Bus is safe for use by many goroutines.
type Bus interface {
	// Publish returns when the bus has all messages. After an error it may have some:
	// whoever publishes sends the same again.
	Publish(ctx context.Context, messages []Message) error
	// Follow tells one after the other what is published from now on, those of a game in
	// the order in which they were published, some perhaps twice. Where some may be
	// missing it calls anew: then everything is to be looked at. Neither is called any
	// more once stop returned. Who is slow holds up no other.
	Follow(told func(Message), anew func()) (stop func(), err error)
	// Close ends the bus for this process.
	Close() error
}

// ErrClosed is what a bus says that was closed.
var ErrClosed = errors.New("the bus was closed")

// AtOnce is how many rows of an outbox a relay takes at once, and how many lines it
// publishes at once (ours).
const AtOnce = 500
