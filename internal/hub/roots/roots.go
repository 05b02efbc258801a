package roots

import (
	"crypto/ed25519"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// Root is what a hub signs: all ledgers of an association ended so at a moment.
type Root struct {
	Association string       `json:"association"` // its id
	At          entry.Millis `json:"at_ms"`       // milliseconds of Unix time, by the hub's clock
	Size        int          `json:"size"`        // how many ledgers
	Hash        string       `json:"root_hex"`
	Key         string       `json:"key"`       // Ed25519, base64
	Signature   string       `json:"signature"` // over Text, base64
}

// Text is what is signed.
func (r Root) Text() []byte {
	return fmt.Appendf(nil, "whistlestop heads\n%s\n%d\n%d\n%s\n", r.Association, r.At, r.Size, r.Hash)
}

// Proof says where one ledger ended at that moment, and leads to the root.
type Proof struct {
	Root  Root     `json:"root"`
	Game  string   `json:"game"`
	Epoch int      `json:"epoch"`
	Seq   int      `json:"seq"`
	Line  string   `json:"hash"` // of the newest line, as it stands in the line after it
	Index int      `json:"index"`
	Path  []string `json:"path_hex"`

	Without *Without `json:"without,omitempty"` // nothing: every line is as the bench sent it
}

// What is wrong with a proof.
var (
	ErrSignature = errors.New("the signature is not that of the key over this root")
	ErrPath      = errors.New("the way does not lead to the root")
	ErrOther     = errors.New("the ledger has another line in that place, or none")
)

// leafOf is what stands in the tree for a ledger.
func leafOf(game string, epoch, seq int, hash string) []byte {
	return fmt.Appendf(nil, "%s\n%d\n%d\n%s\n", game, epoch, seq, hash)
}

// Tree is the heads of an association at a moment.
type Tree struct {
	association string
	at          entry.Millis
	games       []ledgers.Game // by their ids
	leaves      []Hash
}

// Grow makes the tree of all games of an association.
func Grow(association string, games []ledgers.Game, at entry.Millis) *Tree {
	t := &Tree{association: association, at: at, games: slices.Clone(games)}
	slices.SortFunc(t.games, func(a, b ledgers.Game) int { return strings.Compare(a.ID, b.ID) })
	for _, g := range t.games {
		t.leaves = append(t.leaves, Leaf(leafOf(g.ID, g.Epoch, g.Seq, g.Hash)))
	}
	return t
}

// Sign signs the root of the tree.
func (t *Tree) Sign(key ed25519.PrivateKey) Root {
	hash := Over(t.leaves)
	r := Root{Association: t.association, At: t.at, Size: len(t.leaves), Hash: hex.EncodeToString(hash[:])}
	r.Key = base64.StdEncoding.EncodeToString(key.Public().(ed25519.PublicKey))
	r.Signature = base64.StdEncoding.EncodeToString(ed25519.Sign(key, r.Text()))
	return r
}

// Prove is the proof for a game; false: it was not there yet.
func (t *Tree) Prove(root Root, game string) (Proof, bool) {
	index, there := slices.BinarySearchFunc(t.games, game, func(g ledgers.Game, id string) int { return strings.Compare(g.ID, id) })
	if !there {
		return Proof{}, false
	}
	g := t.games[index]
	p := Proof{Root: root, Game: g.ID, Epoch: g.Epoch, Seq: g.Seq, Line: g.Hash, Index: index, Path: []string{}}
	for _, hash := range Path(t.leaves, index) {
		p.Path = append(p.Path, hex.EncodeToString(hash[:]))
	}
	return p, true
}

// Check returns ErrSignature or ErrPath where the proof proves nothing. Whose the key is,
// it does not say.
func (p Proof) Check() error {
	key, err := base64.StdEncoding.DecodeString(p.Root.Key)
	signature, failed := base64.StdEncoding.DecodeString(p.Root.Signature)
	if err != nil || failed != nil || len(key) != ed25519.PublicKeySize || !ed25519.Verify(key, p.Root.Text(), signature) || !p.signed(key) {
		return ErrSignature
	}
	root, good := hashOf(p.Root.Hash)
	path := make([]Hash, len(p.Path))
	for i, text := range p.Path {
		var fine bool
		path[i], fine = hashOf(text)
		good = good && fine
	}
	if !good || !Leads(Leaf(leafOf(p.Game, p.Epoch, p.Seq, p.Line)), p.Index, p.Root.Size, path, root) {
		return ErrPath
	}
	return nil
}

func hashOf(text string) (h Hash, good bool) {
	raw, err := hex.DecodeString(text)
	return h, err == nil && copy(h[:], raw) == len(h) && len(raw) == len(h)
}

// Holds returns ErrOther where a ledger, the hashes of its lines from the first on, is not
// the one that the proof is about.
func (p Proof) Holds(hashes []string) error {
	if p.Seq < 1 || p.Seq > len(hashes) || hashes[p.Seq-1] != p.Line {
		return fmt.Errorf("%w: entry %d", ErrOther, p.Seq)
	}
	return nil
}
