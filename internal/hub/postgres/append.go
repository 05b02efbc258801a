package postgres

import (
	"context"
	"errors"

	"github.com/jackc/pgx/v5/pgconn"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// twice is what the function says where an id stands in the ledger already.
const twice = "HB001"

// Append takes lines of a bench. Nearly always they follow the head: then all of it is
// one function at the server, one way there and back. Whatever else it is, the shared
// questions find out.
func (s *Store) Append(
	ctx context.Context, at ledgers.Where, epoch int, lines []ledgers.Line, now entry.Millis,
) (ledgers.Head, error) {
	if len(lines) == 0 {
		return s.Store.Append(ctx, at, epoch, lines, now)
	}
	ids, prevs, hashes, texts := make([]string, len(lines)), make([]string, len(lines)), make([]string, len(lines)), make([][]byte, len(lines))
	for i, line := range lines {
		ids[i], prevs[i], hashes[i], texts[i] = line.ID, line.Prev, line.Hash, line.Bytes
	}
	var straight bool
	var forked, common int
	err := s.pool.QueryRow(ctx, "SELECT straight, forked, common FROM hub.append_lines($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		at.Association, at.Game, epoch, lines[0].Seq, ids, prevs, hashes, texts, int64(now)).Scan(&straight, &forked, &common)
	var said *pgconn.PgError
	switch {
	case errors.As(err, &said) && said.Code == twice, err == nil && !straight:
		return s.Store.Append(ctx, at, epoch, lines, now)
	case err != nil:
		return ledgers.Head{}, err
	}
	last := lines[len(lines)-1]
	return ledgers.Head{Epoch: epoch, Seq: last.Seq, Hash: last.Hash, Forked: forked != 0, Common: common}, nil
}
