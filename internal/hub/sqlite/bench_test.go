package sqlite_test

import (
	"context"
	"testing"
	"testing/fstest"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
	"whistlestop/internal/hub/office"
	database "whistlestop/internal/store/sqlite"
)

// lines are some of the usual length.
func lines(count int) []ledgers.Line {
	all := hubtest.Chain("a", nil, count)
	for i := range all {
		all[i].Bytes = append(all[i].Bytes, make([]byte, 400)...)
	}
	return all
}

func begun(b *testing.B) ledgers.Store {
	b.Helper()
	s := open(b, b.TempDir())
	b.Cleanup(func() {
		if err := s.Close(); err != nil {
			b.Error(err)
		}
	})
	if err := s.Found(context.Background(), office.Association{ID: hubtest.Ours, Made: 1}, ledgers.Note{What: "founded"}); err != nil {
		b.Fatal(err)
	}
	return s
}

// An entry that a bench sends, as one transaction on the disk.
func BenchmarkAppendOne(b *testing.B) {
	s, all := begun(b), lines(b.N)
	b.ResetTimer()
	for i := range b.N {
		if _, err := s.Append(context.Background(), hubtest.At, 1, all[i:i+1], 1); err != nil {
			b.Fatal(err)
		}
	}
}

// What that is held against: a row of the same width into a table without anything
// else, committed to the disk in the same way.
func BenchmarkBareCommit(b *testing.B) {
	made := fstest.MapFS{"00001_bare.sql": {Data: []byte("-- +goose Up\nCREATE TABLE bare (n INTEGER PRIMARY KEY, line BLOB NOT NULL) STRICT;\n")}}
	db, err := database.OpenDatabase(context.Background(), b.TempDir(), "bare.db", "bare.lock", made)
	if err != nil {
		b.Fatal(err)
	}
	defer func() {
		if err := db.Close(); err != nil {
			b.Error(err)
		}
	}()
	all := lines(b.N)
	b.ResetTimer()
	for i := range b.N {
		err := db.Change(context.Background(), func(tx *database.Tx) error {
			_, err := tx.Exec("INSERT INTO bare (line) VALUES (?)", all[i].Bytes)
			return err
		})
		if err != nil {
			b.Fatal(err)
		}
	}
}

// A bench that was away for long sends 500 entries at a time.
func BenchmarkAppendBatch(b *testing.B) {
	s, all := begun(b), lines(500*b.N)
	b.ResetTimer()
	for i := range b.N {
		if _, err := s.Append(context.Background(), hubtest.At, 1, all[i*500:(i+1)*500], 1); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(500*b.N), "ns/entry")
}
