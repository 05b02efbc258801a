package mirror

import (
	"bytes"
	"context"
	"math/rand/v2"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
)

const headsFile = "/heads"

// ends are the ends of ledgers in memory.
type ends struct{ *memory.Store }

func (e ends) Ends(ctx context.Context) (map[string]int, error) {
	games, err := e.Games(ctx)
	all := map[string]int{}
	for _, game := range games {
		ledger, _ := e.Load(ctx, game)
		all[game] = len(ledger)
	}
	return all, err
}

func (e ends) HashAt(ctx context.Context, game string, seq int) (string, error) {
	ledger, err := e.Load(ctx, game)
	if err != nil || seq > len(ledger) {
		return "", err
	}
	return ledger[seq-1].Hash()
}

// posted posts games one entry at a time and returns their ledgers.
func posted(t *testing.T, disk durable.Disk) map[string][]entry.Entry {
	t.Helper()
	log, err := WithHeads(memory.New(), disk, headsFile)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string][]entry.Entry{}
	for n := 1; n <= 3; n++ {
		game := storetest.Game(n)
		all[game] = storetest.Chain(game, nil, 5+n)
		for _, e := range all[game] {
			if err := log.Append(context.Background(), game, []entry.Entry{e}); err != nil {
				t.Fatal(err)
			}
		}
	}
	return all
}

// kept is a store with the beginnings of ledgers.
func kept(t *testing.T, all map[string][]entry.Entry, counts map[string]int) ends {
	t.Helper()
	s := memory.New()
	for game, ledger := range all {
		if n, cut := counts[game]; cut {
			ledger = ledger[:n]
		}
		if len(ledger) > 0 {
			if err := s.Append(context.Background(), game, ledger); err != nil {
				t.Fatal(err)
			}
		}
	}
	return ends{s}
}

func missing(t *testing.T, disk durable.Disk, s ends) []Gone {
	t.Helper()
	h, err := WithHeads(s, disk, headsFile)
	if err != nil {
		t.Fatal(err)
	}
	gone, err := h.Missing(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return gone
}

// S15: whatever end is missing, with or without copies, is named: 100 of 100.
func TestMissingEndsAreNamed(t *testing.T) {
	random := rand.New(rand.NewPCG(15, 1))
	for n := range 100 {
		disk := crashdisk.New("/")
		all := posted(t, disk)
		game := storetest.Game(1 + random.IntN(3))
		here := random.IntN(len(all[game])) // 0: the whole game
		after := disk.Restarted(random)     // every head was safe before its post was acknowledged
		gone := missing(t, after, kept(t, all, map[string]int{game: here}))
		if len(gone) != 1 || gone[0] != (Gone{Game: game, Seq: len(all[game]), Here: here}) {
			t.Fatalf("%d: %d of %d entries of %s are there, and %+v is named", n, here, len(all[game]), game, gone)
		}
		// It is named again at the next start, until it is back.
		if again := missing(t, after, kept(t, all, map[string]int{game: here})); len(again) != 1 || again[0] != gone[0] {
			t.Fatalf("%d: at the next start %+v is named", n, again)
		}
		if none := missing(t, after, kept(t, all, nil)); len(none) != 0 {
			t.Fatalf("%d: it is back, and %+v is named", n, none)
		}
		if none := missing(t, after, kept(t, all, nil)); len(none) != 0 {
			t.Fatalf("%d: then %+v is named", n, none)
		}
	}
}

// A game that went on differently from where it was cut is named as well.
func TestAnotherEndIsNamed(t *testing.T) {
	disk := crashdisk.New("/")
	all := posted(t, disk)
	game := storetest.Game(2)
	s := kept(t, all, map[string]int{game: 3})
	other := storetest.Chain(game, all[game][:3], 1)
	other[0] = other[0].Plain() // its commitments are those of another text
	other[0].Body = entry.Note{Text: "another way"}
	other[0] = entry.KeepApart(other[0], storetest.Random(2))
	if err := s.Append(context.Background(), game, other); err != nil {
		t.Fatal(err)
	}
	if gone := missing(t, disk, s); len(gone) != 1 || gone[0].Game != game || gone[0].Here != 4 || gone[0].Other {
		t.Errorf("%+v", gone)
	}
}

// A record that is damaged, cut off or strange names what it still knows, and
// nothing that is not so.
func TestDamagedHeads(t *testing.T) {
	disk := crashdisk.New("/")
	all := posted(t, disk)
	content, err := disk.Read(headsFile)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(15, 2))
	for range 300 {
		damaged := bytes.Clone(content)
		damaged[random.IntN(len(damaged))] ^= 1 << random.IntN(8)
		damaged = damaged[:random.IntN(len(damaged)+1)]
		if err := durable.Write(disk, headsFile, damaged); err != nil {
			t.Fatal(err)
		}
		if gone := missing(t, disk, kept(t, all, nil)); len(gone) != 0 {
			t.Fatalf("everything is there, and %+v is named", gone)
		}
	}
	if err := durable.Write(disk, headsFile, []byte(strings.Repeat("milk\n", 20))); err != nil {
		t.Fatal(err)
	}
	if gone := missing(t, disk, kept(t, all, nil)); len(gone) != 0 {
		t.Errorf("%+v", gone)
	}
}

// The record fails and the game goes on; it is whole again as soon as it can be.
func TestHeadsNeverStopAPost(t *testing.T) {
	for step := 1; step < 12; step++ {
		disk := crashdisk.New("/")
		disk.FailAt(step, crashdisk.Once)
		all := posted(t, disk)
		if gone := missing(t, disk, kept(t, all, map[string]int{storetest.Game(3): 7})); len(gone) != 1 || gone[0].Seq != 8 {
			t.Errorf("step %d: %+v", step, gone)
		}
	}
}
