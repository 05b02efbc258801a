package roots

import (
	"context"
	"crypto/ed25519"
	"sync"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// signEvery is how old a signed root may be before the next is made, in milliseconds
// (ours): as many proofs as there are then lead to one signature.
const signEvery = 60 * 60_000

// Keeper gives proofs of an association's games, of the newest root. It is safe for use
// by many goroutines.
type Keeper struct {
	Association string
	Games       func(ctx context.Context, association string) ([]ledgers.Game, error)
	Key         func() (ed25519.PrivateKey, error)
	// Copies are the lines of a game, up to a place, in whose stead the hub keeps copies
	// without names; nil: there are none.
	Copies func(ctx context.Context, game string, upTo int) ([]Copy, error)
	Now    func() entry.Millis

	mutex sync.Mutex
	tree  *Tree
	root  Root
}

// Proof returns the proof for a game, of the newest root; one that is older than an hour
// is made anew. False: the game was not there yet when the root was made.
func (k *Keeper) Proof(ctx context.Context, game string) (Proof, bool, error) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	if err := k.fresh(ctx); err != nil {
		return Proof{}, false, err
	}
	proof, there := k.tree.Prove(k.root, game)
	if !there || k.Copies == nil {
		return proof, there, nil
	}
	copies, err := k.Copies(ctx, game, proof.Seq)
	if err != nil {
		return Proof{}, false, err
	}
	key, err := k.Key()
	if err == nil {
		proof.vouch(copies, key)
	}
	return proof, err == nil, err
}

// fresh makes the root anew where it is old. The caller holds the mutex.
func (k *Keeper) fresh(ctx context.Context) error {
	now := k.Now()
	if k.tree != nil && now-k.root.At < signEvery && now >= k.root.At {
		return nil
	}
	games, err := k.Games(ctx, k.Association)
	if err != nil {
		return err
	}
	key, err := k.Key()
	if err != nil {
		return err
	}
	k.tree = Grow(k.Association, games, now)
	k.root = k.tree.Sign(key)
	return nil
}
