package push

import (
	"crypto/ecdh"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"time"
)

// Keys are a sender's own (RFC 8292), in base64 without padding. Devices that asked for
// messages take them from these keys only: who loses them loses every device.
type Keys struct {
	Public  string `json:"public"`
	Private string `json:"private"`
}

// NewKeys makes keys: a pair on the curve P-256 (RFC 8292, 2), the public one as an
// uncompressed point (3.2).
func NewKeys() (Keys, error) {
	own, err := ecdh.P256().GenerateKey(rand.Reader)
	if err != nil {
		return Keys{}, err
	}
	text := base64.RawURLEncoding.EncodeToString
	return Keys{Public: text(own.PublicKey().Bytes()), Private: text(own.Bytes())}, nil
}

// Device is where and for whom a message is encrypted, as a browser gives it
// (PushSubscription): the address at its push service, its public key and its secret.
type Device struct {
	Endpoint string `json:"endpoint"`
	Key      string `json:"p256dh"`
	Secret   string `json:"auth"`
}

// ErrDevice says that something is no device of a browser, or one that may not be asked.
var ErrDevice = errors.New("this is no push subscription of a browser")

// Outcome is what came of a message.
type Outcome int

// What can come of it.
const (
	Sent    Outcome = iota // the push service took it
	Gone                   // the device wants no more: its address is good for nothing
	Later                  // not now: it may be sent again
	Refused                // this message will not be taken, however often
	Perhaps                // it was handed over and no answer came: nobody knows
)

// Answer is an outcome with what was said about it.
type Answer struct {
	Outcome
	After time.Duration // Later: not before; 0: nothing was said
	Said  string        // what went wrong, for a person to read
}

// MessageMost is the longest message, in bytes: a record of 4,096 (RFC 8291, 4) without
// its head of 86, the tag of 16 and the delimiter.
const MessageMost = 4096 - 86 - 16 - 1
