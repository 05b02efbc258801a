package pocket

import (
	"crypto/ed25519"
	"crypto/rand"
	"errors"
)

// key is the key of the bench, which seals reports: its seed, as a paper. Readers of
// key files would be a third of a megabyte that every visitor loads.
type key struct{ paper paper }

// errNoKey is returned for a paper that is there and holds no key.
var errNoKey = errors.New("what was kept is no key of the bench")

// Key returns the key, which is made when it is first needed, and safe before anything
// is signed with it.
func (k key) Key() (ed25519.PrivateKey, error) {
	seed, err := k.paper.Read()
	switch {
	case err != nil:
		return nil, err
	case seed == nil:
		seed = make([]byte, ed25519.SeedSize)
		_, _ = rand.Read(seed) // it never fails: the program ends before it would
		if err := k.paper.Write(seed); err != nil {
			return nil, err
		}
	case len(seed) != ed25519.SeedSize:
		return nil, errNoKey
	}
	return ed25519.NewKeyFromSeed(seed), nil
}
