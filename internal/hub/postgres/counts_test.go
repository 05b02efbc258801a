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

// together is lines of games that are appended at once.
type together struct {
	games, ids, prevs, hashes []string
	epochs, seqs, nows        []int64
	texts                     [][]byte
}

func each(l *together) (text string, args []any) {
	return "SELECT place::int FROM hub.append_each($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		[]any{hubtest.Ours, l.games, l.epochs, l.seqs, l.ids, l.prevs, l.hashes, l.texts, l.nows}
}

// Of lines that are appended, alone, with others of their game or with lines of other games, the
// server reads the heads of their own games and no other: whether it has counted the games
// or not, and also where it thought out how to look for them while there were none.
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
		for _, how := range []struct {
			name  string
			games int
			ask   func(lines *together) (text string, args []any)
		}{
			{"alone", 1, func(l *together) (string, []any) {
				return "SELECT hub.append_line($1, $2, $3, $4, $5, $6, $7, $8, $9)::int",
					[]any{hubtest.Ours, l.games[0], l.epochs[0], l.seqs[0], l.ids[0], l.prevs[0], l.hashes[0], l.texts[0], l.nows[0]}
			}},
			{"of a game", 1, func(l *together) (string, []any) {
				return "SELECT common::int FROM hub.append_lines($1, $2, $3, $4, $5, $6, $7, $8, $9) WHERE straight",
					[]any{hubtest.Ours, l.games[0], l.epochs[0], l.seqs[0], l.ids, l.prevs, l.hashes, l.texts, l.nows[0]}
			}},
			{"each", 1, each},
			{"each of 64", 64, each},
		} {
			games := how.games
			t.Run(c.name+", "+how.name, func(t *testing.T) {
				database := fresh(t)
				s := open(t, running(t).URL(app, database))
				found(t, s)
				closed(t, s)
				owner := super(t, database)
				exec(t, owner, "ALTER TABLE hub.ledger_head SET (autovacuum_enabled = off)")
				for _, text := range c.before {
					exec(t, owner, text)
				}
				begin(t, owner, "G", games)
				hub := connect(t, running(t).URL(app, database))
				seq := 2
				ask := func() {
					t.Helper()
					var l together
					for g := range games {
						prev := "first"
						if seq > 2 {
							prev = fmt.Sprint("hash", seq-1)
						}
						l.games, l.ids, l.prevs, l.hashes = append(l.games, fmt.Sprint("G", g)), append(l.ids, fmt.Sprint("id", seq)), append(l.prevs, prev), append(l.hashes, fmt.Sprint("hash", seq))
						l.epochs, l.seqs, l.nows, l.texts = append(l.epochs, 1), append(l.seqs, int64(seq)), append(l.nows, 7), append(l.texts, []byte("line"))
					}
					seq++
					text, args := how.ask(&l)
					if taken := list[*int](t, hub, text, args...); len(taken) != games || taken[0] == nil {
						t.Fatalf("%d lines were taken", len(taken))
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
					if n := read() - had; n < games || n > 3*games {
						t.Errorf("%d heads were read for %d lines", n, games)
					}
					exec(t, hub, "COMMIT")
				}
			})
		}
	}
}
