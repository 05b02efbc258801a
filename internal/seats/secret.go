package seats

import (
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"io"
	"strings"
	"unicode"
)

// letters are the twenty that a typed code is made of: without vowels no code
// is a word, and none of them is taken for a digit (the set of RFC 8628, section
// 6.1). Eight of them are 34.5 bits.
const letters = "BCDFGHJKLMNPQRSTVWXZ"

// codeLength is how many letters a code has.
const codeLength = 8

// tokenBytes is the length of a token: 256 bits, twice what cannot be guessed.
const tokenBytes = 32

// hash is how tokens and codes are kept: what is read from the memory or the
// disk of the bench opens nothing. A token is random, so it needs no salt and no
// slow hash.
type hash [sha256.Size]byte

func hashOf(secret string) hash { return sha256.Sum256([]byte(secret)) }

// is compares in a time that does not tell how much was right.
func (h hash) is(secret string) bool {
	other := hashOf(secret)
	return subtle.ConstantTimeCompare(h[:], other[:]) == 1
}

// secrets makes what cannot be guessed. The system's randomness does not fail;
// if it did, going on would be worse than to stop.
type secrets struct{ random io.Reader }

func (s secrets) bytes(count int) []byte {
	raw := make([]byte, count)
	if _, err := io.ReadFull(s.random, raw); err != nil {
		panic("no randomness: " + err.Error())
	}
	return raw
}

func (s secrets) token() string { return base64.RawURLEncoding.EncodeToString(s.bytes(tokenBytes)) }

func (s secrets) id() string { return hex.EncodeToString(s.bytes(8)) }

// below returns a number from 0 to most-1, each as likely. most is at most 256.
func (s secrets) below(most int) int {
	for fair := 256 - 256%most; ; {
		if n := int(s.bytes(1)[0]); n < fair {
			return n % most
		}
	}
}

// code returns a code as it is kept, without the hyphen.
func (s secrets) code() string {
	var b strings.Builder
	for range codeLength {
		b.WriteByte(letters[s.below(len(letters))])
	}
	return b.String()
}

// shown returns a code as people read it: BCDF-GHJK.
func shown(code string) string { return code[:codeLength/2] + "-" + code[codeLength/2:] }

// plainCode takes what people type around the letters off a code. It returns
// false for what no code can be.
func plainCode(typed string) (string, bool) {
	code := strings.Map(func(r rune) rune {
		if r == '-' || unicode.IsSpace(r) {
			return -1
		}
		return unicode.ToUpper(r)
	}, typed)
	if len(code) != codeLength || strings.Trim(code, letters) != "" {
		return "", false
	}
	return code, true
}

// deviceMost is how many characters a device's name may have.
const deviceMost = 40

// deviceName is a name that a stranger gave its device, fit to be shown.
func deviceName(given string) string {
	name := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return ' '
		}
		if !unicode.IsGraphic(r) {
			return -1 // such as the marks that turn text around
		}
		return r
	}, given)
	name = strings.Join(strings.Fields(name), " ")
	if runes := []rune(name); len(runes) > deviceMost {
		name = string(runes[:deviceMost])
	}
	return name
}
