package roots_test

import (
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"errors"
	"fmt"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/roots"
)

// The leaves and roots that the reference implementation of Certificate Transparency
// (RFC 6962) is tested with; RFC 9162 has the same tree.
var (
	content = []string{"", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f"}
	want    = []string{
		"e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
		"6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
		"fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
		"aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
		"d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
		"4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
		"76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
		"ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
		"5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
	}
	// The way of the first of eight leaves.
	firstOfEight = []string{
		"96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
		"5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
		"6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
	}
)

func leaves(t *testing.T, count int) (list []roots.Hash) {
	t.Helper()
	for _, text := range content[:count] {
		raw, err := hex.DecodeString(text)
		if err != nil {
			t.Fatal(err)
		}
		list = append(list, roots.Leaf(raw))
	}
	return list
}

func TestPublishedTrees(t *testing.T) {
	for size, root := range want {
		if got := roots.Over(leaves(t, size)); hex.EncodeToString(got[:]) != root {
			t.Errorf("%d leaves: %x, want %s", size, got, root)
		}
	}
	for i, hash := range roots.Path(leaves(t, 8), 0) {
		if hex.EncodeToString(hash[:]) != firstOfEight[i] {
			t.Errorf("height %d: %x, want %s", i, hash, firstOfEight[i])
		}
	}
}

// Every way of every leaf of trees of any shape leads to its root, and from no other
// place, to no other root, and not with a step more or less.
func TestWays(t *testing.T) {
	var list []roots.Hash
	for size := 1; size <= 40; size++ {
		list = append(list, roots.Leaf(fmt.Append(nil, size)))
		root := roots.Over(list)
		for index := range size {
			path := roots.Path(list, index)
			if !roots.Leads(list[index], index, size, path, root) {
				t.Fatalf("%d of %d does not lead to the root", index, size)
			}
			for other := range size {
				if other != index && roots.Leads(list[index], other, size, path, root) {
					t.Fatalf("%d of %d leads to the root from %d", index, size, other)
				}
			}
			if roots.Leads(list[index], index, size, append(path, root), root) || len(path) > 0 && roots.Leads(list[index], index, size, path[1:], root) ||
				roots.Leads(list[index], index, size, path, roots.Leaf(nil)) || roots.Leads(list[index], index-size, size, path, root) {
				t.Fatalf("%d of %d leads anywhere", index, size)
			}
		}
	}
}

func TestProofs(t *testing.T) {
	_, key, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	var games []ledgers.Game
	for i := range 7 {
		games = append(games, ledgers.Game{ID: fmt.Sprint("G", 7-i), Head: ledgers.Head{Epoch: 1, Seq: 3 + i, Hash: fmt.Sprint("h", i)}})
	}
	tree := roots.Grow("harbour", games, 1_700_000_000_000)
	root := tree.Sign(key)
	for _, g := range games {
		p, there := tree.Prove(root, g.ID)
		if !there || p.Seq != g.Seq || p.Line != g.Hash {
			t.Fatalf("%+v %t", p, there)
		}
		if err := p.Check(); err != nil {
			t.Error(err)
		}
		hashes := make([]string, g.Seq+2)
		hashes[g.Seq-1] = g.Hash
		if err := p.Holds(hashes); err != nil {
			t.Error(err)
		}
		hashes[g.Seq-1] = "written anew"
		if err := p.Holds(hashes); !errors.Is(err, roots.ErrOther) {
			t.Error(err)
		}
		if err := p.Holds(hashes[:g.Seq-1]); !errors.Is(err, roots.ErrOther) {
			t.Error(err)
		}
	}
	if _, there := tree.Prove(root, "G9"); there {
		t.Error("a game that is not there is proved")
	}
	for what, change := range map[string]func(p *roots.Proof){
		"another line":   func(p *roots.Proof) { p.Line = "h" },
		"another place":  func(p *roots.Proof) { p.Seq++ },
		"another game":   func(p *roots.Proof) { p.Game = "G2" },
		"another epoch":  func(p *roots.Proof) { p.Epoch++ },
		"another leaf":   func(p *roots.Proof) { p.Index++ },
		"no way":         func(p *roots.Proof) { p.Path = nil },
		"half a hash":    func(p *roots.Proof) { p.Path[0] = p.Path[0][:62] },
		"another hour":   func(p *roots.Proof) { p.Root.At++ },
		"another size":   func(p *roots.Proof) { p.Root.Size++ },
		"another root":   func(p *roots.Proof) { p.Root.Hash = want[0] },
		"another tenant": func(p *roots.Proof) { p.Root.Association = "other" },
		"another key":    func(p *roots.Proof) { p.Root.Key = p.Root.Signature[:44] },
		"no signature":   func(p *roots.Proof) { p.Root.Signature = "" },
	} {
		p, _ := tree.Prove(root, "G4")
		change(&p)
		if err := p.Check(); !errors.Is(err, roots.ErrPath) && !errors.Is(err, roots.ErrSignature) {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// A root is signed once an hour, of what there is then.
func TestOnceAnHour(t *testing.T) {
	_, key, err := ed25519.GenerateKey(nil)
	if err != nil {
		t.Fatal(err)
	}
	now, asked := entry.Millis(1_700_000_000_000), 0
	games := []ledgers.Game{{ID: "G1", Head: ledgers.Head{Epoch: 1, Seq: 3, Hash: "h3"}}}
	k := &roots.Keeper{
		Association: "harbour", Now: func() entry.Millis { return now }, Key: func() (ed25519.PrivateKey, error) { return key, nil },
		Games: func(context.Context, string) ([]ledgers.Game, error) { asked++; return games, nil },
	}
	for _, minute := range []entry.Millis{0, 30, 59} {
		now = 1_700_000_000_000 + minute*60_000
		games = []ledgers.Game{{ID: "G1", Head: ledgers.Head{Epoch: 1, Seq: 3 + int(minute), Hash: "h"}}}
		p, there, err := k.Proof(t.Context(), "G1")
		if err != nil || !there || p.Check() != nil || p.Seq != 3 || asked != 1 {
			t.Fatalf("after %d minutes: %+v %t %v, asked %d times", minute, p, there, err, asked)
		}
	}
	now = 1_700_000_000_000 + 121*60_000
	games = append(games, ledgers.Game{ID: "G0", Head: ledgers.Head{Epoch: 1, Seq: 1, Hash: "h1"}})
	p, there, err := k.Proof(t.Context(), "G0")
	if err != nil || !there || p.Check() != nil || p.Root.Size != 2 || p.Root.At != now || asked != 2 {
		t.Errorf("%+v %t %v, asked %d times", p, there, err, asked)
	}
	if _, there, err := k.Proof(t.Context(), "G9"); there || err != nil {
		t.Error(there, err)
	}
}

func ExampleOver() {
	fmt.Printf("%x\n", roots.Over([]roots.Hash{roots.Leaf(nil)}))
	// Output: 6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d
}
