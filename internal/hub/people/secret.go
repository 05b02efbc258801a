package people

import (
	"encoding/base64"
	"encoding/hex"
	"io"
	"net/mail"
	"strings"
	"unicode"

	"whistlestop/internal/hub/office"
)

// secretBytes is 192 bits: no one guesses it (128 are asked for).
const secretBytes = 24

// Secret is what opens something, with the association for which it does before it.
func Secret(association, random string) string { return association + "." + random }

// Split is the association of a secret and what is kept of it, its hash. A text that
// is no secret of anybody has neither.
func Split(secret string) (association, hash string) {
	association, random, found := strings.Cut(secret, ".")
	raw, err := base64.RawURLEncoding.Strict().DecodeString(random)
	if !found || association == "" || len(association) > textMost || err != nil || len(raw) != secretBytes {
		return "", ""
	}
	return association, office.HashOf(secret)
}

// textMost is how many letters a name or an id has at most; addressMost is that of an
// address of mail (RFC 5321, 4.5.3.1.3, without the brackets).
const (
	textMost    = 60
	addressMost = 254
)

// random are bytes that nobody can guess. The system's randomness does not fail; if it
// did, going on would be worse than to stop.
func (d *Desk) bytes(count int) []byte {
	raw := make([]byte, count)
	if _, err := io.ReadFull(d.random, raw); err != nil {
		panic("no randomness: " + err.Error())
	}
	return raw
}

func (d *Desk) id() string { return hex.EncodeToString(d.bytes(8)) }

func (d *Desk) secret() (secret, hash string) {
	secret = Secret(d.association, base64.RawURLEncoding.EncodeToString(d.bytes(secretBytes)))
	return secret, office.HashOf(secret)
}

// ReadName is a name as somebody typed it, with single spaces: of 1 to 60 letters, and
// nothing in it that cannot be seen. It returns ErrBad.
func ReadName(typed string) (string, error) {
	name := strings.Join(strings.Fields(typed), " ")
	unseen := func(r rune) bool { return !unicode.IsGraphic(r) || r == unicode.ReplacementChar }
	if name == "" || len([]rune(name)) > textMost || strings.ContainsFunc(name, unseen) {
		return "", ErrBad
	}
	return name, nil
}

// ReadAddress is an address of mail as somebody typed it, in the one form in which it
// is compared; empty: none was typed. It returns ErrBad.
func ReadAddress(typed string) (string, error) {
	typed = strings.TrimSpace(typed)
	if typed == "" {
		return "", nil
	}
	read, err := mail.ParseAddress(typed)
	if err != nil || read.Name != "" || len(read.Address) > addressMost || read.Address != typed {
		return "", ErrBad
	}
	// Letters before the @ could differ by their case; nobody's mail does (common
	// practice, no source).
	address := strings.ToLower(read.Address)
	if strings.ContainsFunc(address, func(r rune) bool {
		return r <= ' ' || r == unicode.ReplacementChar || unicode.IsControl(r) || unicode.IsSpace(r)
	}) {
		return "", ErrBad
	}
	return address, nil
}
