package postgres

import (
	"context"
	"database/sql"
	_ "embed"
	"errors"
	"fmt"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
	"github.com/pressly/goose/v3/lock"

	"whistlestop/internal/hub/tables"
)

// The roles. A hub's own needs no change of role.
const (
	ownRole   = ""
	ownerRole = "whistlestop_owner"
	relayRole = "whistlestop_relay"
)

//go:embed own.sql
var ownTables string

// rolesAndSchema makes the roles of the server and the schema of the database. A hub gets
// nothing by belonging to the relay's role: it has to become it, for a transaction.
const rolesAndSchema = `
SELECT pg_advisory_xact_lock(hashtextextended('whistlestop prepare', 0));
DO $$
DECLARE r text;
BEGIN
	FOREACH r IN ARRAY ARRAY['whistlestop_owner', 'whistlestop_relay', 'whistlestop_audit', 'whistlestop_app'] LOOP
		IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = r) THEN
			EXECUTE format('CREATE ROLE %I NOINHERIT', r);
		END IF;
	END LOOP;
	IF NOT (SELECT rolcanlogin FROM pg_roles WHERE rolname = 'whistlestop_app') THEN
		ALTER ROLE whistlestop_app LOGIN;
	END IF;
	IF NOT pg_has_role('whistlestop_app', 'whistlestop_relay', 'MEMBER') THEN
		GRANT whistlestop_relay TO whistlestop_app;
	END IF;
	IF NOT pg_has_role(current_user, 'whistlestop_owner', 'MEMBER') THEN
		EXECUTE format('GRANT whistlestop_owner TO %I', current_user);
	END IF;
	IF NOT EXISTS (SELECT FROM pg_namespace WHERE nspname = 'hub') THEN
		CREATE SCHEMA hub AUTHORIZATION whistlestop_owner;
	END IF;
END $$`

// Prepare makes the roles, the tables and the wall around them in a database that is
// there, or brings them up to date. Who signs in may make roles and a schema. Hubs may
// be running: a step that cannot get its lock within two seconds changes nothing and
// is an error. Several who prepare at once wait for each other.
func Prepare(ctx context.Context, url string) (err error) {
	config, err := pgx.ParseConfig(url)
	if err != nil {
		return err
	}
	config.RuntimeParams["search_path"] = "hub"
	config.RuntimeParams["lock_timeout"] = "2s"
	if err := exec(ctx, config, rolesAndSchema); err != nil {
		return err
	}
	config.RuntimeParams["role"] = ownerRole
	if err := migrate(ctx, config); err != nil {
		return err
	}
	return exec(ctx, config, ownTables)
}

// exec carries out statements in one transaction, on a connection of their own.
func exec(ctx context.Context, config *pgx.ConnConfig, text string) error {
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return err
	}
	_, err = conn.Exec(ctx, text)
	return errors.Join(err, conn.Close(ctx))
}

// migrate takes the shared steps.
func migrate(ctx context.Context, config *pgx.ConnConfig) (err error) {
	db := stdlib.OpenDB(*config)
	defer func() { err = errors.Join(err, db.Close()) }()
	locker, err := lock.NewPostgresSessionLocker()
	if err != nil {
		return err
	}
	steps, err := stepsOf(db, goose.WithSessionLocker(locker))
	if err != nil {
		return err
	}
	if _, err = steps.Up(ctx); err != nil {
		return fmt.Errorf("the tables were not brought up to date; nothing of the step that failed was kept: %w", err)
	}
	return nil
}

// stepsOf is the shared steps on a database.
func stepsOf(db *sql.DB, options ...goose.ProviderOption) (*goose.Provider, error) {
	made, err := tables.Steps()
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectPostgres, db, stepFiles{made}, append(options, goose.WithDisableGlobalRegistry(true))...)
}
