package postgres

import (
	"context"
	"errors"
	"slices"

	"github.com/jackc/pgx/v5/pgconn"

	"whistlestop/game/entry"
	"whistlestop/internal/hub/ledgers"
)

// What the server says where an id, or another line, stands in the ledger already: its
// own word of a key, and that of the function for many lines.
const (
	taken = "23505"
	twice = "HB001"
)

// Append takes lines of a bench. Nearly always they follow the head: then all of it is
// one function at the server, one way there and back. Whatever else it is, the shared
// questions find out.
func (s *Store) Append(
	ctx context.Context, at ledgers.Where, epoch int, lines []ledgers.Line, now entry.Millis,
) (ledgers.Head, error) {
	older := slices.ContainsFunc(lines, func(line ledgers.Line) bool { return line.Stands != "" })
	if len(lines) == 0 || older {
		return s.Store.Append(ctx, at, epoch, lines, now)
	}
	ask := s.appendMany
	switch {
	case len(lines) == 1 && lines[0].Seq > 1:
		ask = s.appendTogether
	case len(lines) == 1: // it may begin a game
		ask = s.appendOne
	}
	common, straight, err := ask(ctx, at, epoch, lines, now)
	var said *pgconn.PgError
	switch {
	case errors.As(err, &said) && (said.Code == taken || said.Code == twice), err == nil && !straight:
		return s.Store.Append(ctx, at, epoch, lines, now)
	case err != nil:
		return ledgers.Head{}, err
	}
	last := lines[len(lines)-1]
	return ledgers.Head{Epoch: epoch, Seq: last.Seq, Hash: last.Hash, Forked: common >= 0, Common: max(0, common)}, nil
}

// appendOne asks for one line. common is -1 where nobody differs.
func (s *Store) appendOne(
	ctx context.Context, at ledgers.Where, epoch int, lines []ledgers.Line, now entry.Millis,
) (common int, straight bool, err error) {
	var shown *int
	line := lines[0]
	err = s.pool.QueryRow(ctx, "SELECT hub.append_line($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		at.Association, at.Game, epoch, line.Seq, line.ID, line.Prev, line.Hash, line.Bytes, int64(now)).Scan(&shown)
	if err != nil || shown == nil {
		return 0, false, err
	}
	return *shown, true, nil
}

// appendMany is appendOne for several.
func (s *Store) appendMany(
	ctx context.Context, at ledgers.Where, epoch int, lines []ledgers.Line, now entry.Millis,
) (common int, straight bool, err error) {
	ids, prevs, hashes, texts := make([]string, len(lines)), make([]string, len(lines)), make([]string, len(lines)), make([][]byte, len(lines))
	for i, line := range lines {
		ids[i], prevs[i], hashes[i], texts[i] = line.ID, line.Prev, line.Hash, line.Bytes
	}
	var forked int
	err = s.pool.QueryRow(ctx, "SELECT straight, forked, common FROM hub.append_lines($1, $2, $3, $4, $5, $6, $7, $8, $9)",
		at.Association, at.Game, epoch, lines[0].Seq, ids, prevs, hashes, texts, int64(now)).Scan(&straight, &forked, &common)
	if forked == 0 {
		common = -1
	}
	return common, straight, err
}
