package sqlite_test

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"whistlestop/game/entry"
	"whistlestop/internal/store"
	"whistlestop/internal/store/sqlite"
	"whistlestop/internal/store/storetest"
)

func open(t testing.TB, folder string) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(context.Background(), folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Errorf("close: %v", err)
		}
	})
	return s
}

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T) storetest.Store {
		s, err := sqlite.Open(context.Background(), t.TempDir())
		if err != nil {
			t.Fatal(err)
		}
		return s
	})
}

func TestLedgerOutlivesTheProgram(t *testing.T) {
	ctx := context.Background()
	folder := filepath.Join(t.TempDir(), "with a space, 100% & a ?")
	game := storetest.Game(1)
	s := open(t, folder)
	if err := s.Append(ctx, game, storetest.Chain(game, nil, 3)); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	ledger, err := open(t, folder).Load(ctx, game)
	if err != nil || len(ledger) != 3 {
		t.Fatalf("got %d entries, %v", len(ledger), err)
	}
}

func TestOneProgramAFolder(t *testing.T) {
	folder := t.TempDir()
	first := open(t, folder)
	if _, err := sqlite.Open(context.Background(), folder); !errors.Is(err, store.ErrInUse) {
		t.Fatalf("got %v, want ErrInUse", err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	open(t, folder)
}

func TestNobodyElseReadsTheFiles(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "data")
	s := open(t, folder)
	if err := s.Append(context.Background(), storetest.Game(1), storetest.Chain(storetest.Game(1), nil, 1)); err != nil {
		t.Fatal(err)
	}
	err := filepath.WalkDir(folder, func(path string, entry os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := entry.Info()
		if err == nil && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s has the permissions %v", path, info.Mode())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}

// alter changes the closed database behind the store's back.
func alter(t *testing.T, folder, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(folder, "whistlestop.db"))
	if err != nil {
		t.Fatal(err)
	}
	result, err := db.Exec(statement)
	if err != nil {
		t.Fatal(err)
	}
	if rows, err := result.RowsAffected(); err != nil || rows == 0 {
		t.Fatalf("%s changed %d rows, %v", statement, rows, err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestDamageIsNamed(t *testing.T) {
	for _, test := range []struct {
		name, statement string
		seq             int
	}{
		{"a changed line", `UPDATE entries SET line = replace(line, '01JD', '01JE') WHERE seq = 2`, 2},
		{"a changed newest line", `UPDATE entries SET line = replace(line, '01JD', '01JE') WHERE seq = 4`, 4},
		{"a changed line with its text inside", `UPDATE entries SET line = replace(line, 'Line 3', 'Line 9') WHERE seq = 3`, 3},
		{"a changed text beside it", `UPDATE names SET text = replace(text, 'Line 2', 'Line 9')`, 2},
		{"changed random bytes", `UPDATE names SET random = replace(random, substr(random, 1, 1), '_')`, 2},
		{"lost texts", `DELETE FROM names`, 2},
		{"a missing line", `DELETE FROM entries WHERE seq = 2`, 2},
		{"a missing first line", `DELETE FROM entries WHERE seq = 1`, 1},
		{"lines that changed places", `UPDATE entries SET seq = CASE seq WHEN 2 THEN 30 ELSE 2 END WHERE seq IN (2, 3)`, 2},
		{"a missing newest line", `DELETE FROM entries WHERE seq = 4`, 4},
		{"a missing game", `DELETE FROM games`, 1},
		{"another newest line", `UPDATE games SET head = 'x'`, 5},
		{"not JSON", `UPDATE entries SET line = 'x' WHERE seq = 3`, 3},
	} {
		t.Run(test.name, func(t *testing.T) {
			ctx, folder, game := context.Background(), t.TempDir(), storetest.Game(1)
			s := open(t, folder)
			if err := s.Append(ctx, game, storetest.Chain(game, nil, 4)); err != nil {
				t.Fatal(err)
			}
			if err := s.Close(); err != nil {
				t.Fatal(err)
			}
			alter(t, folder, test.statement)
			_, err := open(t, folder).Load(ctx, game)
			var damaged *store.DamagedError
			if !errors.As(err, &damaged) || damaged.Game != game || damaged.Seq != test.seq {
				t.Fatalf("got %v, want entry %d of the game named", err, test.seq)
			}
		})
	}
}

// A folder of a program from before the newest entries were written down.
func TestOlderFolderIsBroughtUpToDate(t *testing.T) {
	ctx, folder, game := context.Background(), t.TempDir(), storetest.Game(1)
	s := open(t, folder)
	if err := s.Append(ctx, game, storetest.Inside(storetest.Chain(game, nil, 3))); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	alterWhileOpen(t, folder, `DROP TABLE names; ALTER TABLE games DROP COLUMN head; ALTER TABLE games DROP COLUMN newest;
		DELETE FROM goose_db_version WHERE version_id IN (2, 3)`)
	s = open(t, folder)
	ledger, err := s.Load(ctx, game)
	if err != nil || len(ledger) != 3 {
		t.Fatalf("%d entries, %v", len(ledger), err)
	}
	if err := s.Append(ctx, game, storetest.Chain(game, ledger, 1)); err != nil {
		t.Fatal(err)
	}
}

// A line whose bytes and hash were both changed, with the chain left alone, is
// caught by the link of the entry after it.
func TestForgedLineBreaksTheChain(t *testing.T) {
	game := storetest.Game(1)
	entries := storetest.Chain(game, nil, 3)
	entries[1].Body = entry.Note{Text: "forged"}
	entries[1].Apart = nil
	lines, err := store.Lines(game, entries)
	if err != nil {
		t.Fatal(err)
	}
	_, err = store.Read(game, lines, nil, nil)
	var damaged *store.DamagedError
	if !errors.As(err, &damaged) || damaged.Seq != 3 {
		t.Fatalf("got %v, want entry 3 named", err)
	}
}

func TestFailedWriteIsReportedAndTheFileOpenedAgain(t *testing.T) {
	ctx, folder, game := context.Background(), t.TempDir(), storetest.Game(1)
	s := open(t, folder)
	chain := storetest.Chain(game, nil, 2)
	if err := s.Append(ctx, game, chain[:1]); err != nil {
		t.Fatal(err)
	}
	// Another program takes the table away and gives it back.
	alterWhileOpen(t, folder, "ALTER TABLE entries RENAME TO away")
	if err := s.Append(ctx, game, chain[1:]); err == nil || errors.Is(err, store.ErrMoved) {
		t.Fatalf("got %v, want a failure", err)
	}
	alterWhileOpen(t, folder, "ALTER TABLE away RENAME TO entries")
	ledger, err := s.Load(ctx, game)
	if err != nil || len(ledger) != 1 {
		t.Fatalf("after the failure: %d entries, %v", len(ledger), err)
	}
	if err := s.Append(ctx, game, chain[1:]); err != nil {
		t.Fatalf("after the file was opened again: %v", err)
	}
}

func alterWhileOpen(t *testing.T, folder, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", filepath.Join(folder, "whistlestop.db"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(statement); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestFolderThatCannotBeMade(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := sqlite.Open(context.Background(), filepath.Join(file, "data")); err == nil {
		t.Fatal("opened a folder inside a file")
	}
}

func TestFileThatIsNoDatabase(t *testing.T) {
	folder := t.TempDir()
	junk := []byte(strings.Repeat("not a database ", 400))
	if err := os.WriteFile(filepath.Join(folder, "whistlestop.db"), junk, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := sqlite.Open(context.Background(), folder); err == nil {
		t.Fatal("opened a file that is no database")
	}
	// The folder is free again after the failure.
	if err := os.Remove(filepath.Join(folder, "whistlestop.db")); err != nil {
		t.Fatal(err)
	}
	open(t, folder)
}

func BenchmarkAppend(b *testing.B) {
	ctx, game := context.Background(), storetest.Game(1)
	s := open(b, b.TempDir())
	var ledger []entry.Entry
	for b.Loop() {
		b.StopTimer()
		var last []entry.Entry
		if len(ledger) > 0 {
			last = ledger[len(ledger)-1:]
		}
		next := storetest.Chain(game, nil, 1)
		next[0].Seq = len(ledger) + 1
		next[0].ID = next[0].ID[:14] + pad(len(ledger))
		if len(last) > 0 {
			next[0].Prev, _ = last[0].Hash()
		}
		b.StartTimer()
		if err := s.Append(ctx, game, next); err != nil {
			b.Fatal(err)
		}
		ledger = append(ledger, next[0])
	}
}

func pad(n int) string {
	digits := []byte("000000000000")
	for i := len(digits) - 1; n > 0; i, n = i-1, n/10 {
		digits[i] = byte('0' + n%10)
	}
	return string(digits)
}
