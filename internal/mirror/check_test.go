package mirror

import (
	"bytes"
	"context"
	"errors"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/folder/durable"
	"whistlestop/internal/proof/crashdisk"
	"whistlestop/internal/store/memory"
	"whistlestop/internal/store/storetest"
)

// S12, F3: a ledger whose end was cut off cleanly looks whole by itself. A copy
// names the entries that are missing, and they come back.
func TestCutEndIsFoundByACopy(t *testing.T) {
	ctx, chain, game := context.Background(), storetest.Chain(storetest.Game(1), nil, 9), storetest.Game(1)
	forked := bytes.Replace(must(lines(chain)), []byte("Line 9"), []byte("Line X"), 1)
	for _, test := range []struct {
		name          string
		here          int
		copied        []byte
		first, copies int
		lacks, forked bool
	}{
		{"the same", 9, must(lines(chain)), 0, 9, false, false},
		{"the copy is behind", 9, must(lines(chain[:5])), 0, 5, false, false},
		{"three entries are gone", 6, must(lines(chain)), 7, 9, true, false},
		{"the game is gone", 0, must(lines(chain)), 1, 9, true, false},
		{"the end of the copy is torn", 6, must(lines(chain))[:len(must(lines(chain)))-30], 7, 8, true, false},
		{"the newest says something else", 9, forked, 9, 9, false, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			log, disk := memory.New(), crashdisk.New("/", stick)
			if test.here > 0 {
				if err := log.Append(ctx, game, chain[:test.here]); err != nil {
					t.Fatal(err)
				}
			}
			if err := durable.Write(disk, filepath.Join(stick, game+ending), test.copied); err != nil {
				t.Fatal(err)
			}
			found, err := compareAll(ctx, log, disk, nil, stick)
			if err != nil || len(found) != 1 {
				t.Fatalf("%+v, %v", found, err)
			}
			f := found[0]
			if f.First != test.first || f.Copied != test.copies || f.Lacks() != test.lacks || f.Forked != test.forked {
				t.Fatalf("%+v", f)
			}
			if !f.Lacks() {
				return
			}
			if err := log.Append(ctx, f.Game, f.Ledger[f.Here:]); err != nil {
				t.Fatal(err)
			}
			ledger, err := log.Load(ctx, game)
			if err != nil || len(ledger) != test.copies || common(ledger, chain) != test.copies {
				t.Errorf("%d entries, %v", len(ledger), err)
			}
		})
	}
	if found, err := compareAll(ctx, memory.New(), crashdisk.New("/"), nil, stick); err != nil || len(found) != 0 {
		t.Errorf("without a stick: %+v, %v", found, err)
	}
}

// S13: a backup is whole or the older one, whenever the power is cut; nothing is
// said to be saved before it is.
func TestBackupIsWholeOrTheOlderOne(t *testing.T) {
	ctx, log := context.Background(), memory.New()
	chain := storetest.Chain(storetest.Game(1), nil, 6)
	other := storetest.Chain(storetest.Game(2), nil, 3)
	if err := errors.Join(log.Append(ctx, storetest.Game(1), chain[:4]), log.Append(ctx, storetest.Game(2), other)); err != nil {
		t.Fatal(err)
	}
	const file = "/stick/all.jsonl"
	for _, toFile := range []bool{true, false} {
		backUp := func(disk durable.Disk, from Source) error {
			if toFile {
				_, err := BackUpToFile(ctx, from, disk, file, 0)
				return err
			}
			_, err := BackUpToFolder(ctx, from, disk, stick, 0)
			return err
		}
		longer := memory.New()
		if err := errors.Join(longer.Append(ctx, storetest.Game(1), chain), longer.Append(ctx, storetest.Game(2), other)); err != nil {
			t.Fatal(err)
		}
		for step := 1; step < 28; step++ {
			for seed := range uint64(10) {
				disk := crashdisk.New("/", stick)
				if err := backUp(disk, log); err != nil {
					t.Fatal(err)
				}
				disk.FailAt(step, crashdisk.PowerCut)
				err := backUp(disk, longer)
				after := disk.Restarted(rand.New(rand.NewPCG(seed, 1)))
				found, compareErr := compareAll(ctx, longer, after, nil, stick)
				if compareErr != nil || len(found) != map[bool]int{true: 2, false: 2}[toFile] {
					t.Fatalf("step %d: %+v, %v", step, found, compareErr)
				}
				for _, f := range found {
					if f.Bad != nil || f.First != 0 || f.Copied < f.Here && (err == nil || f.Copied != 4) {
						t.Fatalf("step %d, seed %d: said %v, and found %+v", step, seed, err, f)
					}
				}
			}
		}
	}
}

// A backup folder that holds more than the ledger is not overwritten.
func TestBackupReplacesNothingLonger(t *testing.T) {
	ctx, chain := context.Background(), storetest.Chain(storetest.Game(1), nil, 6)
	longer, shorter, disk := memory.New(), memory.New(), crashdisk.New("/", stick)
	if err := errors.Join(longer.Append(ctx, chain[0].Game, chain), shorter.Append(ctx, chain[0].Game, chain[:2])); err != nil {
		t.Fatal(err)
	}
	if saved, err := BackUpToFolder(ctx, longer, disk, stick, 0); err != nil || saved.Games != 1 || saved.Entries != 6 {
		t.Fatalf("%+v, %v", saved, err)
	}
	var older *OlderError
	if _, err := BackUpToFolder(ctx, shorter, disk, stick, 0); !errors.As(err, &older) || !strings.Contains(older.File, chain[0].Game) {
		t.Errorf("got %v", err)
	}
}

func TestRead(t *testing.T) {
	one, two := storetest.Inside(storetest.Chain(storetest.Game(1), nil, 3)), storetest.Inside(storetest.Chain(storetest.Game(2), nil, 2))
	mixed := must(lines([]entry.Entry{one[0], two[0], one[1], two[1], one[2]}))
	games, torn, err := Read(mixed)
	if err != nil || torn || len(games) != 2 || len(games[0].Ledger) != 3 || len(games[1].Ledger) != 2 {
		t.Errorf("two games in one file: %+v, %v, %v", games, torn, err)
	}
	dos := append([]byte("\ufeff\r\n"), bytes.ReplaceAll(must(lines(one)), []byte("\n"), []byte("\r\n"))...)
	if games, torn, err := Read(dos); err != nil || torn || len(games[0].Ledger) != 3 {
		t.Errorf("with the line ends of another system: %+v, %v, %v", games, torn, err)
	}
	if _, _, err := Read([]byte("milk\neggs\n")); err == nil {
		t.Error("a shopping list was read")
	}
	all := must(lines(one))
	for cut := range len(all) {
		games, _, err := Read(all[:cut])
		whole := bytes.Count(all[:cut], []byte("\n"))
		if cut+1 < len(all) && all[cut] == '\n' {
			whole++ // the line is whole but for its end
		}
		got := 0
		if len(games) > 0 {
			got = len(games[0].Ledger)
		}
		if err != nil || got != whole && cut != len(all)-1 || len(games) > 0 && games[0].Bad != nil {
			t.Fatalf("cut at byte %d: %d entries, want %d: %v", cut, got, whole, err)
		}
	}
}

// F2: an entry that was changed, left out, put in or moved is where the trust
// ends.
func TestReadNamesTheFirstBadEntry(t *testing.T) {
	chain := storetest.Inside(storetest.Chain(storetest.Game(1), nil, 6))
	all := bytes.SplitAfter(must(lines(chain)), []byte("\n"))[:6]
	join := func(parts ...[]byte) []byte { return bytes.Join(parts, nil) }
	for name, test := range map[string]struct {
		content []byte
		line    int
	}{
		"changed":  {join(all[0], all[1], bytes.Replace(all[2], []byte("Line"), []byte("Lime"), 1), all[3]), 4},
		"left out": {join(all[0], all[1], all[3]), 3},
		"put in":   {join(all[0], all[1], all[1], all[2]), 3},
		"moved":    {join(all[0], all[2], all[1]), 2},
		"spoilt":   {join(all[0], all[1], []byte("{}\n"), all[2]), 3},
		"spaces":   {join(all[0], bytes.Replace(all[1], []byte(":"), []byte(": "), 1), all[2]), 2},
	} {
		games, _, err := Read(test.content)
		if err != nil || len(games) != 1 || games[0].Bad == nil || games[0].Line != test.line {
			t.Errorf("%s: %+v, %v, want line %d", name, games, err, test.line)
		}
	}
}

func FuzzRead(f *testing.F) {
	chain := storetest.Chain(storetest.Game(1), nil, 3)
	f.Add(must(lines(chain)))
	f.Add(must(lines(chain))[:300])
	f.Add([]byte("{}\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		games, _, err := Read(content)
		if err != nil && len(games) > 0 {
			t.Fatal("an error with games")
		}
		for _, g := range games {
			if err := entry.VerifyChain(g.Ledger); err != nil {
				t.Fatal(err)
			}
			if again, _, err := Read(must(lines(g.Ledger))); err != nil || len(g.Ledger) > 0 && len(again[0].Ledger) != len(g.Ledger) {
				t.Fatalf("it does not read back: %v", err)
			}
		}
	})
}

// compareAll holds ledgers against all files of a folder.
func compareAll(ctx context.Context, log Log, disk durable.Disk, own *Marks, folder string) (all []Finding, err error) {
	games, others, err := Copies(disk, folder)
	for _, game := range slices.Sorted(mapKeys(games)) {
		all = append(all, Compare(ctx, log, disk, own, games[game])...)
	}
	for _, path := range others {
		all = append(all, Compare(ctx, log, disk, own, path)...)
	}
	return all, err
}
