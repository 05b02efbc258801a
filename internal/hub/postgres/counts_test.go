package postgres_test

import (
	"fmt"
	"testing"

	"github.com/jackc/pgx/v5"

	"whistlestop/internal/hub/hubtest"
)

// manyHeads is how many games an association has besides those that lines are for.
const manyHeads = 3000

// begin gives an association games with a first line, and lets the server never count them by itself.
func begin(t *testing.T, owner *pgx.Conn, name string, games int) {
	t.Helper()
	exec(t, owner, fmt.Sprintf(`INSERT INTO hub.ledger_head (association, game, epoch, seq, hash, heard)
		SELECT '%s', '%s' || g, 1, 1, 'first', 7 FROM generate_series(0, %d - 1) g`, hubtest.Ours, name, games))
}

// Of a line that goes with others the server reads the head of its own game and of no other:
// whether it has counted the games or not, and also where it thought out how to look for
// them while there were none.
func TestOnlyTheirOwnHeadsAreRead(t *testing.T) {
	for _, c := range []struct {
		name   string
		before []string // done while the association has no other game
		early  bool     // the connection has asked before those came
		after  []string
	}{
		{name: "never counted"},
		{name: "never counted, asked before", early: true},
		{name: "counted while there were none", before: []string{"VACUUM ANALYZE"}},
		{name: "counted while there were none, asked before", before: []string{"VACUUM ANALYZE"}, early: true},
		{name: "counted", after: []string{"VACUUM ANALYZE"}},
		{name: "counted, asked before", early: true, after: []string{"VACUUM ANALYZE"}},
	} {
		for _, together := range []int{1, 64} {
			t.Run(fmt.Sprint(c.name, " ", together), func(t *testing.T) {
				database := fresh(t)
				s := open(t, running(t).URL(app, database))
				found(t, s)
				closed(t, s)
				owner := super(t, database)
				exec(t, owner, "ALTER TABLE hub.ledger_head SET (autovacuum_enabled = off)")
				for _, text := range c.before {
					exec(t, owner, text)
				}
				begin(t, owner, "G", together)
				hub := connect(t, running(t).URL(app, database))
				seq := 2
				ask := func() {
					t.Helper()
					var games, ids, prevs, hashes []string
					var epochs, seqs, nows []int64
					var texts [][]byte
					for g := range together {
						prev := "first"
						if seq > 2 {
							prev = fmt.Sprint("hash", seq-1)
						}
						games, ids, prevs, hashes = append(games, fmt.Sprint("G", g)), append(ids, fmt.Sprint("id", seq)), append(prevs, prev), append(hashes, fmt.Sprint("hash", seq))
						epochs, seqs, nows, texts = append(epochs, 1), append(seqs, int64(seq)), append(nows, 7), append(texts, []byte("line"))
					}
					seq++
					if places := list[int](t, hub, "SELECT place FROM hub.append_each($1, $2, $3, $4, $5, $6, $7, $8, $9)",
						hubtest.Ours, games, epochs, seqs, ids, prevs, hashes, texts, nows); len(places) != together {
						t.Fatalf("%d lines were taken", len(places))
					}
				}
				for range 10 { // after five the server keeps how it does it
					if c.early {
						ask()
					}
				}
				begin(t, owner, "X", manyHeads)
				for _, text := range c.after {
					exec(t, owner, text)
				}
				read := func() int { // since the connection last told the server what it read
					return list[int](t, hub, "SELECT (coalesce(sum(seq_tup_read + coalesce(idx_tup_fetch, 0)), 0))::int FROM pg_stat_xact_all_tables WHERE relid = 'hub.ledger_head'::regclass")[0]
				}
				for range 10 {
					exec(t, hub, "BEGIN")
					had := read()
					ask()
					if n := read() - had; n < together || n > 3*together {
						t.Errorf("%d heads were read for %d lines", n, together)
					}
					exec(t, hub, "COMMIT")
				}
			})
		}
	}
}
