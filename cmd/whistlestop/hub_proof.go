package main

import (
	"context"
	"crypto/ed25519"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"whistlestop/game/entry"
	"whistlestop/game/message"
	"whistlestop/internal/folder/keyfile"
	"whistlestop/internal/folder/privatefile"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	"whistlestop/internal/hub/roots"
	"whistlestop/record/seal"
)

// hubKeyFile lies in the folder of a hub: the key with which it signs where ledgers end.
const hubKeyFile = "hub-key.pem"

// roots gives followers proofs of an association's games; nil for one of several hubs
// that was given no folder to keep a key in.
func (a *association) roots(association string) *roots.Keeper {
	if a.folder == "" {
		return nil
	}
	keys := keyfile.New(privatefile.At(filepath.Join(a.folder, hubKeyFile)))
	return &roots.Keeper{
		Association: association, Games: a.store.Games, Now: office.Now,
		Key: func() (ed25519.PrivateKey, error) { return keys.Key() },
		Copies: func(ctx context.Context, game string, upTo int) ([]roots.Copy, error) {
			at := ledgers.Where{Association: association, Game: game}
			older, err := a.store.OlderLines(ctx, at)
			if err != nil || len(older) == 0 {
				return nil, err
			}
			lines, err := a.store.Lines(ctx, at, 0, upTo)
			if err != nil {
				return nil, err
			}
			places, err := ledgers.Without(lines, older)
			if err != nil {
				return nil, err
			}
			var copies []roots.Copy
			for _, seq := range slices.Sorted(maps.Keys(places)) {
				copies = append(copies, roots.Copy{Seq: seq, Line: places[seq].Hash, Stands: places[seq].Stands})
			}
			return copies, nil
		},
	}
}

// copiesIn are the lines of a ledger that stand in the place of others.
func copiesIn(ledger []entry.Entry) (copies []roots.Copy, err error) {
	for _, e := range ledger {
		if e.Was == "" {
			continue
		}
		line, err := e.MarshalJSON()
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(line)
		copies = append(copies, roots.Copy{Seq: e.Seq, Line: e.Was, Stands: hex.EncodeToString(sum[:])})
	}
	return copies, nil
}

type hubProofCommand struct {
	File   string `arg:"" type:"path"`
	Ledger string `type:"existingfile"`
	Key    string
}

// hubProof checks a proof that a follower kept, and holds a ledger against it.
func (p *Program) hubProof(c hubProofCommand) error {
	const most = 1 << 20
	raw, err := readAtMost(c.File, most)
	if err != nil {
		return cannotRead(c.File, err)
	}
	var proof roots.Proof
	if err := json.Unmarshal(raw, &proof); err != nil {
		return message.Because(err, "hubcheck.unread", "file", c.File)
	}
	if err := proof.Check(); err != nil {
		return message.Because(err, "hubcheck.proves_nothing", "file", c.File)
	}
	if c.Key != "" && c.Key != proof.Root.Key {
		return message.New("hubcheck.other_key", "file", c.File, "key", proof.Root.Key)
	}
	p.print("hubcheck.proves", "key", proof.Root.Key, "at", time.UnixMilli(int64(proof.Root.At)).UTC().Format("2006-01-02 15:04 UTC"),
		"game", proof.Game, "seq", strconv.Itoa(proof.Seq), "hash", proof.Line)
	if proof.Without != nil {
		p.print("hubcheck.without", "count", strconv.Itoa(len(proof.Without.Copies)))
	}
	if c.Ledger == "" {
		return nil
	}
	ledger, _, err := readGame(c.Ledger)
	if err != nil {
		return cannotRead(c.Ledger, err)
	}
	hashes := make([]string, len(ledger))
	for i, e := range ledger {
		if hashes[i], err = e.Hash(); err != nil {
			return cannotRead(c.Ledger, err)
		}
	}
	if err := proof.Holds(hashes); err != nil {
		return message.Because(err, "hubcheck.written_anew", "file", c.Ledger)
	}
	copies, err := copiesIn(ledger)
	if err != nil {
		return cannotRead(c.Ledger, err)
	}
	known, unknown, err := proof.Vouches(copies)
	if err != nil {
		return message.Because(err, "hubcheck.written_anew", "file", c.Ledger)
	}
	p.print("hubcheck.holds", "file", c.Ledger)
	if len(known) > 0 {
		p.print("hubcheck.vouched", "numbers", seal.Numbers(known))
	}
	if len(unknown) > 0 {
		p.print("hubcheck.unvouched", "numbers", seal.Numbers(unknown))
	}
	return nil
}
