package roots

import (
	"crypto/ed25519"
	"encoding/base64"
	"fmt"
	"slices"

	"whistlestop/game/message"
)

// Copy is a line that the hub read as it was hashed, and in whose place it keeps a copy
// without the texts about people that were in it.
type Copy struct {
	Seq    int    `json:"seq"`
	Line   string `json:"hash"`   // of the line that was read, by which the next one names it
	Stands string `json:"stands"` // SHA-256 of the copy, in hexadecimal
}

// Without is what the hub signs of such lines of one game, in the order of their places:
// that each copy says what the line said, but for those texts.
type Without struct {
	Copies    []Copy `json:"copies"`
	Signature string `json:"signature"` // by the key of the root, base64
}

// text is what is signed.
func (w Without) text(association, game string) []byte {
	out := fmt.Appendf(nil, "whistlestop without texts\n%s\n%s\n", association, game)
	for _, one := range w.Copies {
		out = fmt.Appendf(out, "%d %s %s\n", one.Seq, one.Line, one.Stands)
	}
	return out
}

// vouch puts what the hub knows of copies into a proof, signed.
func (p *Proof) vouch(copies []Copy, key ed25519.PrivateKey) {
	if len(copies) == 0 {
		return
	}
	w := Without{Copies: copies}
	w.Signature = base64.StdEncoding.EncodeToString(ed25519.Sign(key, w.text(p.Root.Association, p.Game)))
	p.Without = &w
}

// signed reports whether what is said of copies has the signature of a key.
func (p Proof) signed(key ed25519.PublicKey) bool {
	if p.Without == nil {
		return true
	}
	signature, err := base64.StdEncoding.DecodeString(p.Without.Signature)
	return err == nil && ed25519.Verify(key, p.Without.text(p.Root.Association, p.Game), signature)
}

// Vouches sorts lines that stand in the place of others by whether the hub signed that they
// say the same; it returns an error where one is not the copy that the hub made.
func (p Proof) Vouches(copies []Copy) (known, unknown []int, err error) {
	for _, one := range copies {
		at := -1
		if p.Without != nil {
			at = slices.IndexFunc(p.Without.Copies, func(c Copy) bool { return c.Seq == one.Seq && c.Line == one.Line })
		}
		switch {
		case at < 0:
			unknown = append(unknown, one.Seq)
		case p.Without.Copies[at].Stands != one.Stands:
			return known, unknown, message.New("hubcheck.copy", "number", one.Seq)
		default:
			known = append(known, one.Seq)
		}
	}
	return known, unknown, nil
}
