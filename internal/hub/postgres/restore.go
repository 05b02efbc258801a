package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"whistlestop/internal/hub/copied"
	"whistlestop/internal/hub/tables"
)

// What a restore says no to.
var (
	ErrNotEmpty  = errors.New("the database has a hub in it already")
	ErrTwoCopies = errors.New("games and people were not copied at the same moment")
	ErrOtherEnds = errors.New("the ledgers do not end as they did when they were copied")
)

// appRole is who hubs sign in as.
const appRole = "whistlestop_app"

// Restore puts a copy into a database without a hub, in one transaction: all of it or
// nothing. It prepares the database first, so who signs in may do what Prepare needs;
// every file is read and checked before. people may be empty: then whoever signs in is
// made anew. The Store that it returns acts as a hub does, for whoever looks whether
// every chain is whole.
func Restore(ctx context.Context, url, games, people string) (_ *Store, m copied.Manifest, err error) {
	var all []copied.Manifest
	folders := []string{games}
	if people != "" {
		folders = append(folders, people)
	}
	for _, folder := range folders {
		if m, err = copied.Check(folder); err != nil {
			return nil, m, err
		}
		all = append(all, m)
	}
	if m = all[0]; m.Part != copied.Games || len(all) > 1 && (all[1].Taken != m.Taken || all[1].Part != copied.People) {
		return nil, m, ErrTwoCopies
	}
	if newest, err := newestStep(); err != nil || m.Steps > newest {
		return nil, m, errors.Join(copied.ErrNewer, err)
	}
	if err := Prepare(ctx, url); err != nil {
		return nil, m, err
	}
	if err := fill(ctx, url, folders, all); err != nil {
		return nil, m, err
	}
	s, err := openAs(ctx, url)
	if err != nil {
		return nil, m, err
	}
	if err := s.endsAs(ctx, m.Heads); err != nil {
		return nil, m, errors.Join(err, s.Close())
	}
	return s, m, nil
}

// newestStep is the newest of the program's own.
func newestStep() (int64, error) {
	steps, err := tables.Newest()
	return int64(steps), err
}

// fill puts the rows of all parts into empty tables.
func fill(ctx context.Context, url string, folders []string, parts []copied.Manifest) (err error) {
	config, err := pgx.ParseConfig(url)
	if err != nil {
		return err
	}
	config.RuntimeParams["lock_timeout"] = "2s"
	config.RuntimeParams["role"] = ownerRole
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, takeBack(ctx, conn), conn.Close(context.WithoutCancel(ctx))) }()
	if _, err := conn.Exec(ctx, "BEGIN"); err != nil {
		return err
	}
	list, err := tablesOf(ctx, conn)
	if err != nil {
		return err
	}
	// The wall is around the owner too: it is put aside within this transaction, which
	// nobody else sees.
	for _, t := range list {
		if _, err := conn.Exec(ctx, "ALTER TABLE hub."+pgx.Identifier{t.name}.Sanitize()+" NO FORCE ROW LEVEL SECURITY"); err != nil {
			return err
		}
	}
	for _, t := range list {
		if err := fillTable(ctx, conn, t, folders, parts); err != nil {
			return err
		}
	}
	var loose bool // what no key of the tables would find
	err = conn.QueryRow(ctx, `SELECT EXISTS (SELECT FROM hub.entry e LEFT JOIN hub.ledger_head h USING (association, game) WHERE h.game IS NULL)`).Scan(&loose)
	if err == nil && loose {
		err = fmt.Errorf("%w: lines of a game that has no head", copied.ErrDamaged)
	}
	if err != nil {
		return err
	}
	for _, t := range list {
		if _, err := conn.Exec(ctx, "ALTER TABLE hub."+pgx.Identifier{t.name}.Sanitize()+" FORCE ROW LEVEL SECURITY"); err != nil {
			return err
		}
	}
	_, err = conn.Exec(ctx, "COMMIT")
	return err
}

// fillTable puts the rows of one table back, which has none.
func fillTable(ctx context.Context, conn *pgx.Conn, t table, folders []string, parts []copied.Manifest) error {
	name := "hub." + pgx.Identifier{t.name}.Sanitize()
	var there bool
	if err := conn.QueryRow(ctx, "SELECT EXISTS (SELECT FROM "+name+")").Scan(&there); err != nil {
		return err
	}
	if there {
		return ErrNotEmpty
	}
	for i, part := range parts {
		for _, file := range part.Tables {
			if file.Name != t.name {
				continue
			}
			var rows int64
			err := copied.Open(folders[i], file, func(from io.Reader) error {
				tag, err := conn.PgConn().CopyFrom(ctx, from, "COPY "+name+" ("+quoted(file.Columns)+") FROM STDIN")
				rows = tag.RowsAffected()
				return err
			})
			if err != nil {
				return fmt.Errorf("table %s: %w", t.name, err)
			}
			if rows != file.Rows {
				return fmt.Errorf("%w: table %s has %d rows instead of %d", copied.ErrDamaged, t.name, rows, file.Rows)
			}
		}
	}
	return countersOf(ctx, conn, t.name)
}

// countersOf lets numbers that the server gives go on behind those that are there.
func countersOf(ctx context.Context, conn *pgx.Conn, table string) error {
	rows, err := conn.Query(ctx, `SELECT a.attname::text FROM pg_attribute a
		WHERE a.attrelid = ('hub.' || quote_ident($1))::regclass AND a.attidentity <> ''`, table)
	if err != nil {
		return err
	}
	columns, err := pgx.CollectRows(rows, pgx.RowTo[string])
	for _, column := range columns {
		if err == nil {
			_, err = conn.Exec(ctx, fmt.Sprintf("SELECT setval(pg_get_serial_sequence('hub.%s', %s), coalesce(max(%s), 1), max(%[3]s) IS NOT NULL) FROM hub.%[1]s",
				pgx.Identifier{table}.Sanitize(), literal(column), pgx.Identifier{column}.Sanitize()))
		}
	}
	return err
}

// openAs opens the database as somebody who may become what hubs sign in as, and does.
func openAs(ctx context.Context, url string) (*Store, error) {
	config, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, err
	}
	conn, err := pgx.ConnectConfig(ctx, config.ConnConfig.Copy())
	if err != nil {
		return nil, err
	}
	_, err = conn.Exec(ctx, `DO $$ BEGIN
		IF NOT pg_has_role(current_user, '`+appRole+`', 'MEMBER') THEN
			EXECUTE format('GRANT `+appRole+` TO %I', current_user);
		END IF;
	END $$`)
	if err = errors.Join(err, conn.Close(ctx)); err != nil {
		return nil, err
	}
	config.ConnConfig.RuntimeParams["search_path"] = "hub"
	config.ConnConfig.RuntimeParams["role"] = appRole
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, err
	}
	return &Store{Store: tables.New(&engine{pool}), pool: pool}, nil
}

// endsAs returns ErrOtherEnds where the ledgers do not end as a copy says.
func (s *Store) endsAs(ctx context.Context, want copied.Heads) error {
	found, err := s.AllHeads(ctx)
	if err == nil && found != want {
		err = fmt.Errorf("%w: %+v instead of %+v", ErrOtherEnds, found, want)
	}
	return err
}
