package seal

import (
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/base64"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/game/message"
)

// ErrEmpty is returned for a ledger without an entry.
var ErrEmpty = message.New("seal.no_game")

// Key is a bench's key.
type Key ed25519.PrivateKey

// Make returns the seal of a ledger as it stands, still without a signature: the
// next version, naming the seal that it replaces. Missing is why something is
// still owed; empty if nothing is. The entry of the seal must be the next one of
// the ledger, and is then signed.
func (k Key) Make(ledger []entry.Entry, missing string) (entry.Sealed, error) {
	if len(ledger) == 0 {
		return entry.Sealed{}, ErrEmpty
	}
	head, err := ledger[len(ledger)-1].Hash()
	if err != nil {
		return entry.Sealed{}, err
	}
	s := entry.Sealed{Version: 1, Head: head, Missing: missing}
	for _, e := range ledger {
		if before, ok := e.Body.(entry.Sealed); ok {
			s.Version, s.Replaces = before.Version+1, e.ID
		}
	}
	if s.Key = k.Public(); s.Key == "" {
		return entry.Sealed{}, message.New("seal.no_key")
	}
	return s, nil
}

// Sign returns the entry of a seal with its signature. The entry must have its
// place in the ledger: everything that it says is signed.
func (k Key) Sign(e entry.Entry) (entry.Entry, error) {
	text, body, err := text(e)
	if err != nil {
		return e, err
	}
	body.Signature = base64.StdEncoding.EncodeToString(ed25519.Sign(ed25519.PrivateKey(k), text))
	e.Body = body
	return e, nil
}

// text is what a seal signs: the line of its own entry, without the signature.
// The line has the game, the place, the hash of the entry before it, the version
// and everything else, so nothing of it can change.
func text(e entry.Entry) ([]byte, entry.Sealed, error) {
	body, ok := e.Body.(entry.Sealed)
	if !ok {
		return nil, body, message.New("seal.no_seal", "entry", e.ID)
	}
	unsigned := body
	unsigned.Signature = ""
	e.Body = unsigned
	line, err := e.MarshalJSON()
	return append([]byte("whistlestop seal 1\n"), line...), body, err
}

// Signed reports whether the signature of a seal was made with the key that it
// names.
func Signed(e entry.Entry) bool {
	text, body, err := text(e)
	if err != nil {
		return false
	}
	return signedBy(body.Key, body.Signature, text)
}

// signedBy reports whether a signature over a text was made with a key, both in
// base64.
func signedBy(key, signature string, text []byte) bool {
	public, err := base64.StdEncoding.Strict().DecodeString(key)
	if err != nil || len(public) != ed25519.PublicKeySize {
		return false
	}
	made, err := base64.StdEncoding.Strict().DecodeString(signature)
	return err == nil && ed25519.Verify(ed25519.PublicKey(public), text, made)
}

// Bits is how much of a SHA-256 a fingerprint shows. To find another game with
// the fingerprint of this one takes 2^80 tries, which nobody can do; to make two
// games of one's own with the same takes 2^40, so a fingerprint does not bind a
// bench that cheats with its own key before the seal.
const Bits = 80

// letters are digits and letters that cannot be taken for one another when they
// are read aloud or copied: without I, L, O and U (Crockford's base 32, from
// memory).
const letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

const group = 4 // letters of a fingerprint before a space

// Fingerprint is the short form of a seal for paper: 80 bits of the SHA-256 of
// what was signed, as four groups of four letters. It is empty for an entry that
// is no seal, and for a line that stands in place of the one that was signed, which
// had a text about a person in it.
func Fingerprint(e entry.Entry) string {
	signed, _, err := text(e)
	if err != nil || e.Was != "" {
		return ""
	}
	return short(signed)
}

// KeyName is the short form of a bench's key, in the form of a fingerprint, by
// which people tell benches apart. The key is written as seals have it; the name
// is empty for what is no key.
func KeyName(key string) string {
	raw, err := base64.StdEncoding.Strict().DecodeString(key)
	if err != nil || len(raw) != ed25519.PublicKeySize {
		return ""
	}
	return short(append([]byte("whistlestop key\n"), raw...))
}

// Public returns the part of a bench's key that anybody may have, as seals have
// it.
func (k Key) Public() string {
	if len(k) != ed25519.PrivateKeySize {
		return ""
	}
	public, ok := ed25519.PrivateKey(k).Public().(ed25519.PublicKey)
	if !ok {
		return ""
	}
	return base64.StdEncoding.EncodeToString(public)
}

// short is 80 bits of the SHA-256 of a text, for people.
func short(of []byte) string {
	sum := sha256.Sum256(of)
	var text strings.Builder
	for i := range Bits / 5 {
		if i > 0 && i%group == 0 {
			text.WriteByte(' ')
		}
		// The five bits that begin at bit 5i.
		at, shift := 5*i/8, 11-5*i%8
		two := uint16(sum[at])<<8 | uint16(sum[at+1])
		text.WriteByte(letters[two>>shift&31])
	}
	return text.String()
}

// ReadFingerprint reads a fingerprint as people write it, with or without spaces
// and dashes, in small or capital letters, O for 0 and I or L for 1. It returns
// the form that Fingerprint writes.
func ReadFingerprint(text string) (string, error) {
	var read []byte
	for _, r := range strings.ToUpper(text) {
		switch r {
		case ' ', '-', '\t', '\u00a0':
			continue
		case 'O':
			r = '0'
		case 'I', 'L':
			r = '1'
		}
		if !strings.ContainsRune(letters, r) {
			return "", message.New("seal.letter", "letter", string(r))
		}
		if len(read) > 0 && (len(read)+1)%(group+1) == 0 {
			read = append(read, ' ')
		}
		read = append(read, byte(r))
	}
	if most := Bits / 5; len(read) != most+most/group-1 {
		return "", message.New("seal.length", "most", most)
	}
	return string(read), nil
}
