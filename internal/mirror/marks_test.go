package mirror

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"path/filepath"
	"testing"
	"testing/synctest"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
	"whistlestop/record/seal"
)

func keyOf(b byte) seal.Key {
	return seal.Key(ed25519.NewKeyFromSeed(bytes.Repeat([]byte{b}, ed25519.SeedSize)))
}

var benchMarks = NewMarks(keyOf(7))

// F7: what follows the bench's own mark in a copy is not the bench's, however
// well it is chained.
func TestACopyShowsWhoWroteIt(t *testing.T) {
	ctx, game := context.Background(), storetest.Game(1)
	chain := storetest.Chain(game, nil, 9)
	head := func(n int) string { h, _ := chain[n-1].Hash(); return h }
	other := NewMarks(keyOf(8))
	written := func(list ...mark) []byte {
		var all []byte
		for _, one := range list {
			all = append(all, []byte(`{"bench":"`+one.Bench+`","count":`+string(rune('0'+one.Count))+`,"head":"`+one.Head+`","mac":"`+one.MAC+`"}`+"\n")...)
		}
		return all
	}
	forged := other.of(game, 9, head(9))
	forged.Bench = benchMarks.bench
	for _, test := range []struct {
		name  string
		marks []byte
		own   int
		says  string
	}{
		{"no marks, as copies were once", nil, 0, ""},
		{"marked to the end", written(benchMarks.of(game, 9, head(9))), 9, benchMarks.bench},
		{"three entries after the mark", written(benchMarks.of(game, 4, head(4)), benchMarks.of(game, 6, head(6))), 6, benchMarks.bench},
		{"another bench's mark", written(other.of(game, 9, head(9))), 0, other.bench},
		{"another bench's mark under our name", written(forged), 0, benchMarks.bench},
		{"a mark of another game", written(benchMarks.of(storetest.Game(2), 9, head(9))), 0, benchMarks.bench},
		{"a mark of other entries", written(benchMarks.of(game, 9, head(8))), 0, benchMarks.bench},
		{"no marks at all", []byte("milk\n{}\n\xff"), 0, ""},
	} {
		disk := crashdisk.New("/", stick)
		if err := durable.Write(disk, filepath.Join(stick, game+ending), must(lines(chain))); err != nil {
			t.Fatal(err)
		}
		if err := durable.Write(disk, filepath.Join(stick, game+marksEnding), test.marks); test.marks != nil && err != nil {
			t.Fatal(err)
		}
		found, err := compareAll(ctx, memory.New(), disk, benchMarks, stick)
		if err != nil || len(found) != 1 || found[0].Own != test.own || found[0].Bench != test.says {
			t.Errorf("%s: %+v, %v", test.name, found, err)
		}
	}
}

// A seal with the bench's own key shows that it wrote what comes before it, also
// in a phone's copy, which has no marks.
func TestAnOwnSealShowsWhoWroteIt(t *testing.T) {
	chain := storetest.Chain(storetest.Game(1), nil, 5)
	for name, test := range map[string]struct {
		key seal.Key
		own int
	}{"our key": {keyOf(7), 6}, "another": {keyOf(8), 0}} {
		body, err := test.key.Make(chain, "")
		if err != nil {
			t.Fatal(err)
		}
		sealed, err := test.key.Sign(entry.Entry{ID: "01JD00000000000000SEA10001", Game: storetest.Game(1), Seq: 6, Prev: body.Head, Body: body})
		if err != nil {
			t.Fatal(err)
		}
		ledger := append(append([]entry.Entry{}, chain...), sealed)
		last, _ := sealed.Hash()
		ledger = append(ledger, entry.Entry{ID: "01JD00000000000000SEA10002", Game: storetest.Game(1), Seq: 7, Prev: last, Body: entry.Goal{Side: entry.Home}})
		if own := benchMarks.Own(ledger, nil); own != test.own {
			t.Errorf("%s: %d entries, want %d", name, own, test.own)
		}
	}
}

// The mirror marks what it copied, also after it was started again.
func TestCopiesAreMarked(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(t)
		d.append(4)
		d.settled()
		d.m.Close()
		d.start()
		d.append(3)
		d.settled()
		found, err := compareAll(context.Background(), memory.New(), d.disk, benchMarks, stick)
		if err != nil || len(found) != 1 || found[0].Own != 7 || found[0].Copied != 7 {
			t.Errorf("%+v, %v", found, err)
		}
	})
}
