package postgres_test

import (
	"fmt"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"

	"whistlestop/internal/hub/hubtest"
	"whistlestop/internal/hub/ledgers"
)

// lines are some of the usual length.
func lines(bench string, count int) []ledgers.Line {
	all := hubtest.Chain(bench, nil, count)
	for i := range all {
		all[i].Bytes = append(all[i].Bytes, make([]byte, 400)...)
	}
	return all
}

// by has some benches do count things each.
func by(b *testing.B, benches int, do func(bench, n int) error) {
	b.Helper()
	var group sync.WaitGroup
	b.ResetTimer()
	for bench := range benches {
		group.Go(func() {
			for n := bench; n < b.N; n += benches {
				if err := do(bench, n/benches); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	group.Wait()
}

// Entries that benches send, each as one transaction on the disk, and what that is held
// against: a row of the same width and with the same keys into a table without anything
// else. One bench, and sixteen at once.
func BenchmarkAppendOne(b *testing.B) {
	for _, benches := range []int{1, 16} {
		b.Run(fmt.Sprintf("%d/append", benches), func(b *testing.B) {
			s := open(b, running(b).URL(app, fresh(b))+"&pool_max_conns=16")
			defer closed(b, s)
			found(b, s)
			all := make([][]ledgers.Line, benches)
			for i := range all {
				all[i] = lines(fmt.Sprint(i), b.N/benches+1)
			}
			by(b, benches, func(bench, n int) error {
				at := ledgers.Where{Association: hubtest.Ours, Game: fmt.Sprint("G", bench)}
				_, err := s.Append(b.Context(), at, 1, all[bench][n:n+1], 7)
				return err
			})
		})
		b.Run(fmt.Sprintf("%d/bare", benches), func(b *testing.B) {
			database := fresh(b)
			exec(b, super(b, database), `CREATE TABLE bare (association TEXT NOT NULL, game TEXT NOT NULL, seq BIGINT NOT NULL, epoch BIGINT NOT NULL,
				id TEXT NOT NULL, prev TEXT NOT NULL, hash TEXT NOT NULL, line BYTEA NOT NULL, PRIMARY KEY (association, game, seq),
				UNIQUE (association, game, id)); GRANT INSERT ON bare TO whistlestop_app`)
			pool, err := pgxpool.New(b.Context(), running(b).URL(app, database)+"&pool_max_conns=16")
			if err != nil {
				b.Fatal(err)
			}
			defer pool.Close()
			all := make([][]ledgers.Line, benches)
			for i := range all {
				all[i] = lines(fmt.Sprint(i), b.N/benches+1)
			}
			by(b, benches, func(bench, n int) error {
				line := all[bench][n]
				_, err := pool.Exec(b.Context(), "INSERT INTO bare VALUES ($1, $2, $3, $4, $5, $6, $7, $8)",
					hubtest.Ours, fmt.Sprint("G", bench), line.Seq, 1, line.ID, line.Prev, line.Hash, line.Bytes)
				return err
			})
		})
	}
}

// A bench that was away for long sends 500 entries at a time.
func BenchmarkAppendBatch(b *testing.B) {
	s := open(b, running(b).URL(app, fresh(b)))
	defer closed(b, s)
	found(b, s)
	all := lines("a", 500*b.N)
	b.ResetTimer()
	for i := range b.N {
		if _, err := s.Append(b.Context(), hubtest.At, 1, all[i*500:(i+1)*500], 7); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(500*b.N), "ns/entry")
}
