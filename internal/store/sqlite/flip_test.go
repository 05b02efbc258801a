package sqlite

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/proof/faults"
)

// block is the size of the pieces of which each gets a flipped bit, in bytes.
const block = 512

// S11: one flipped bit in each block of the database. The store says so, or
// gives the very game that was written.
func TestFlippedBitInTheDatabase(t *testing.T) {
	ctx, folder, game := context.Background(), t.TempDir(), wholeGame(t)
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(s.Append(ctx, game[0].Game, game), s.Close()); err != nil {
		t.Fatal(err)
	}
	clean := faults.Snapshot(t, folder)
	refused, named, same := 0, 0, 0
	for i := range flips(len(clean[fileName])) {
		what := fmt.Sprintf("block %d", i)
		ledger, err := openFlipped(t, clean, fileName, i, game[0].Game)
		switch {
		case err == nil:
			if len(ledger) != len(game) {
				t.Fatalf("%s: %d of %d entries, and nothing was said", what, len(ledger), len(game))
			}
			sameLedger(t, what, ledger, game)
			same++
		case strings.Contains(err.Error(), "entry "):
			named++
		default:
			refused++
		}
	}
	t.Logf("%d refused, %d with the entry named, %d the same game", refused, named, same)
	if named == 0 {
		t.Error("no flipped bit was traced to an entry: the test shows nothing")
	}
}

// S11, in SQLite's log: whatever the bit does, what is given is what was written,
// up to some post. That the newest posts may be cut off cleanly is why a start
// compares the ledgers with their copies.
func TestFlippedBitInTheLog(t *testing.T) {
	ctx, folder, game := context.Background(), t.TempDir(), wholeGame(t)[:40]
	s, err := Open(ctx, folder)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range game {
		if err := s.Append(ctx, e.Game, []entry.Entry{e}); err != nil {
			t.Fatal(err)
		}
	}
	clean := faults.Snapshot(t, folder) // as a power cut leaves it
	delete(clean, fileName+"-shm")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	cut, refused := 0, 0
	for i := range flips(len(clean[fileName+"-wal"])) {
		ledger, err := openFlipped(t, clean, fileName+"-wal", i, game[0].Game)
		if err != nil {
			refused++
			continue
		}
		sameLedger(t, fmt.Sprintf("block %d", i), ledger, game)
		if len(ledger) < len(game) {
			cut++
		}
	}
	t.Logf("%d refused, %d cut short", refused, cut)
}

// flips returns how many blocks get a flipped bit, one after the other.
func flips(size int) int {
	if soaking() {
		return size / block
	}
	return min(size/block, 600/thin(4))
}

func openFlipped(t *testing.T, clean faults.Disk, file string, i int, game string) ([]entry.Entry, error) {
	t.Helper()
	folder, ctx := t.TempDir(), context.Background()
	clean.Write(t, folder)
	content := slices.Clone(clean[file])
	blocks := len(content) / block
	at := (i*7919%blocks)*block + rand.New(rand.NewPCG(3, uint64(i))).IntN(block)
	content[at] ^= 1 << (i % 8)
	if err := os.WriteFile(filepath.Join(folder, file), content, 0o600); err != nil {
		t.Fatal(err)
	}
	s, err := Open(ctx, folder)
	if err != nil {
		return nil, err
	}
	defer func() { _ = s.Close() }() // of a damaged database: it may fail
	ids, err := s.Games(ctx)
	if err != nil {
		return nil, err
	}
	if file == fileName && !slices.Contains(ids, game) {
		t.Fatalf("a bit flipped in byte %d: the game is not listed, and nothing was said", at)
	}
	return s.Load(ctx, game)
}
