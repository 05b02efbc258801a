-- What PostgreSQL has beyond the shared steps. It runs after them, as the owner, each
-- time that a database is prepared, and leaves alone what is as it should be.
SELECT pg_advisory_xact_lock(hashtextextended('whistlestop prepare', 0));

-- What other processes are to be told: written in the transaction of the change, taken
-- and deleted by a relay. The lines themselves are in entry; first = 0 says that others
-- stand in their places. Numbers are not in the order of commits, and nobody relies on it.
-- No key, no index: rows are taken as they lie, and each line pays for what is kept of it.
CREATE TABLE IF NOT EXISTS hub.outbox (
    id          BIGINT GENERATED ALWAYS AS IDENTITY,
    association TEXT        NOT NULL,
    game        TEXT        NOT NULL,
    epoch       BIGINT      NOT NULL,
    first       BIGINT      NOT NULL,
    last        BIGINT      NOT NULL,
    made        TIMESTAMPTZ NOT NULL DEFAULT clock_timestamp()
);
DO $$
BEGIN
    IF EXISTS (SELECT FROM pg_constraint WHERE conrelid = 'hub.outbox'::regclass AND conname = 'outbox_pkey') THEN
        ALTER TABLE hub.outbox DROP CONSTRAINT outbox_pkey;
    END IF;
END $$;

-- Whether a game has a head that the hub sees.
CREATE OR REPLACE FUNCTION hub.has_head(p_association TEXT, p_game TEXT)
RETURNS BOOLEAN LANGUAGE plpgsql STABLE AS $$
BEGIN
    RETURN EXISTS (SELECT FROM hub.ledger_head h WHERE h.association = p_association AND h.game = p_game);
END $$;

-- One line that follows the head of a game, or begins one, as nearly always: it returns -1,
-- or up to where the game is shown when two benches differ. NULL: it is something else, or
-- somebody else changes the game just now, and nothing was changed. A line that stands in
-- its place, or an id that stands elsewhere, is the error of a key. Each statement here
-- costs as much as a fifth of a bare row.
CREATE OR REPLACE FUNCTION hub.append_line(
    p_association TEXT, p_game TEXT, p_epoch BIGINT, p_seq BIGINT, p_id TEXT, p_prev TEXT, p_hash TEXT, p_line BYTEA, p_now BIGINT
) RETURNS BIGINT LANGUAGE plpgsql SET enable_seqscan = off AS $$
DECLARE
    common BIGINT;
    none   TEXT;
BEGIN
    -- Assigned, not performed: an expression costs a tenth of a statement.
    none := set_config('app.tenant', p_association, true);
    IF NOT pg_try_advisory_xact_lock(hashtextextended('g/' || p_association || '/' || p_game, 0)) THEN
        RETURN NULL; -- who waits here would hold up lines of other games
    END IF;
    UPDATE hub.ledger_head h SET epoch = p_epoch, seq = p_seq, hash = p_hash, heard = p_now
        WHERE h.association = p_association AND h.game = p_game AND h.seq = p_seq - 1 AND h.hash = p_prev AND h.epoch <= p_epoch
        RETURNING CASE h.forked WHEN 0 THEN -1 ELSE h.common END INTO common;
    IF common IS NULL THEN
        IF p_seq <> 1 OR p_prev <> '' OR EXISTS (SELECT FROM hub.ledger_head h WHERE h.association = p_association AND h.game = p_game) THEN
            RETURN NULL;
        END IF;
        INSERT INTO hub.ledger_head (association, game, epoch, seq, hash, heard) VALUES (p_association, p_game, p_epoch, 1, p_hash, p_now);
        common := -1;
    END IF;
    none := set_config('app.head', p_game, true);
    INSERT INTO hub.entry (association, game, seq, epoch, id, prev, hash, line)
        VALUES (p_association, p_game, p_seq, p_epoch, p_id, p_prev, p_hash, p_line);
    INSERT INTO hub.outbox (association, game, epoch, first, last) VALUES (p_association, p_game, p_epoch, p_seq, p_seq);
    RETURN common;
END $$;

-- The same for lines of different games of an association: a row for each that was taken, by
-- its place in what was asked. One that begins a game, or is something else (the second of
-- one game is), or whose game somebody else changes just now, has none and holds up no other.
-- An error takes none. Between the beginning and the lock another line may have come: UPDATE
-- looks at the newest row, or leaves it. A head is looked up by its key (LIMIT: one look for
-- each line) and moved where it stands. With these two settings that is the cheapest way
-- whatever the server has counted, also where it decides before there are games; other ways
-- read the heads of the whole association.
CREATE OR REPLACE FUNCTION hub.append_each(
    p_association TEXT, p_games TEXT[], p_epochs BIGINT[], p_seqs BIGINT[],
    p_ids TEXT[], p_prevs TEXT[], p_hashes TEXT[], p_lines BYTEA[], p_nows BIGINT[]
) RETURNS TABLE (place BIGINT, common BIGINT) LANGUAGE plpgsql SET enable_seqscan = off SET random_page_cost = 0 AS $$
DECLARE
    none TEXT;
BEGIN
    none := set_config('app.tenant', p_association, true);
    none := set_config('app.head', '*', true);
    RETURN QUERY
    WITH held AS MATERIALIZED (
        SELECT a.*, x.place AS stands FROM unnest(p_games, p_epochs, p_seqs, p_ids, p_prevs, p_hashes, p_lines, p_nows)
            WITH ORDINALITY AS a (game, epoch, seq, id, prev, hash, line, heard, n)
            CROSS JOIN LATERAL (SELECT h.ctid AS place FROM hub.ledger_head h WHERE h.association = p_association AND h.game = a.game LIMIT 1) x
        WHERE pg_try_advisory_xact_lock(hashtextextended('g/' || p_association || '/' || a.game, 0))
    ), moved AS (
        UPDATE hub.ledger_head h SET epoch = a.epoch, seq = a.seq, hash = a.hash, heard = a.heard FROM held a
        WHERE h.ctid = a.stands AND h.seq = a.seq - 1 AND h.hash = a.prev AND h.epoch <= a.epoch
        RETURNING a.*, CASE h.forked WHEN 0 THEN -1 ELSE h.common END AS shown
    ), kept AS (
        INSERT INTO hub.entry (association, game, seq, epoch, id, prev, hash, line)
        SELECT p_association, m.game, m.seq, m.epoch, m.id, m.prev, m.hash, m.line FROM moved m
    ), told AS (
        INSERT INTO hub.outbox (association, game, epoch, first, last)
        SELECT p_association, m.game, m.epoch, m.seq, m.seq FROM moved m
    )
    SELECT m.n, m.shown FROM moved m;
END $$;

-- The same for lines of one game that follow each other. Not straight: it is something else.
CREATE OR REPLACE FUNCTION hub.append_lines(
    p_association TEXT, p_game TEXT, p_epoch BIGINT, p_first BIGINT,
    p_ids TEXT[], p_prevs TEXT[], p_hashes TEXT[], p_lines BYTEA[], p_now BIGINT,
    OUT straight BOOLEAN, OUT forked BIGINT, OUT common BIGINT
) LANGUAGE plpgsql SET enable_seqscan = off AS $$
DECLARE
    head  hub.ledger_head%ROWTYPE;
    last  BIGINT := p_first + cardinality(p_ids) - 1;
    added BIGINT;
    none  TEXT;
BEGIN
    none := set_config('app.tenant', p_association, true);
    none := pg_advisory_xact_lock(hashtextextended('g/' || p_association || '/' || p_game, 0));
    SELECT * INTO head FROM hub.ledger_head h WHERE h.association = p_association AND h.game = p_game;
    straight := false; forked := 0; common := 0;
    IF NOT FOUND THEN
        IF p_first <> 1 OR p_prevs[1] <> '' THEN
            RETURN;
        END IF;
        INSERT INTO hub.ledger_head (association, game, epoch, seq, hash, heard) VALUES (p_association, p_game, p_epoch, 0, '', p_now);
    ELSIF p_epoch < head.epoch OR p_first <> head.seq + 1 OR p_prevs[1] <> head.hash THEN
        RETURN;
    ELSE
        forked := head.forked; common := head.common;
    END IF;
    none := set_config('app.head', p_game, true);
    INSERT INTO hub.entry (association, game, seq, epoch, id, prev, hash, line)
        SELECT p_association, p_game, p_first + l.n - 1, p_epoch, l.id, l.prev, l.hash, l.line
        FROM unnest(p_ids, p_prevs, p_hashes, p_lines) WITH ORDINALITY AS l (id, prev, hash, line, n)
        ON CONFLICT (association, game, id) DO NOTHING;
    GET DIAGNOSTICS added = ROW_COUNT;
    IF added <> cardinality(p_ids) THEN
        RAISE EXCEPTION 'an id stands in the ledger already' USING ERRCODE = 'HB001';
    END IF;
    UPDATE hub.ledger_head h SET epoch = p_epoch, seq = last, hash = p_hashes[cardinality(p_ids)], heard = p_now
        WHERE h.association = p_association AND h.game = p_game;
    INSERT INTO hub.outbox (association, game, epoch, first, last) VALUES (p_association, p_game, p_epoch, p_first, last);
    straight := true;
END $$;

-- Lines leave a ledger when a person chose others, and only when each of them stands on
-- a branch. It is the owner's: a hub itself may not delete a line.
CREATE OR REPLACE FUNCTION hub.take_out(p_association TEXT, p_game TEXT, p_first BIGINT)
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = hub, pg_temp AS $$
BEGIN
    IF EXISTS (
        SELECT FROM hub.entry e WHERE e.association = p_association AND e.game = p_game AND e.seq >= p_first AND NOT EXISTS (
            SELECT FROM hub.entry_branch b
            WHERE b.association = e.association AND b.game = e.game AND b.seq = e.seq AND b.hash = e.hash AND b.line = e.line)
    ) THEN
        RAISE EXCEPTION 'a line of game % stands on no branch: nothing was taken out', p_game USING ERRCODE = '42501';
    END IF;
    DELETE FROM hub.entry e WHERE e.association = p_association AND e.game = p_game AND e.seq >= p_first;
END $$;

-- The beginning of the log goes after 24 months, and no line before: by the database's
-- own clock, whatever a hub says.
CREATE OR REPLACE FUNCTION hub.forget_log(p_association TEXT, p_through BIGINT)
RETURNS void LANGUAGE plpgsql SECURITY DEFINER SET search_path = hub, pg_temp AS $$
BEGIN
    IF EXISTS (
        SELECT FROM hub.audit a WHERE a.association = p_association AND a.seq <= p_through
            AND a.at > extract(epoch FROM clock_timestamp() - interval '729 days') * 1000
    ) THEN
        RAISE EXCEPTION 'a line of the log is younger than 24 months: nothing was dropped' USING ERRCODE = '42501';
    END IF;
    DELETE FROM hub.audit a WHERE a.association = p_association AND a.seq <= p_through;
END $$;

REVOKE ALL ON ALL FUNCTIONS IN SCHEMA hub FROM PUBLIC;
GRANT USAGE ON SCHEMA hub TO whistlestop_app, whistlestop_relay, whistlestop_audit;
GRANT EXECUTE ON ALL FUNCTIONS IN SCHEMA hub TO whistlestop_app;

-- The server reads a CHECK anew for every statement, a fifth of the time of a bare row; a
-- policy is a part of the plan that is kept. So these two are policies here.
DO $$
DECLARE
    c record;
BEGIN
    FOR c IN SELECT * FROM (VALUES ('entry', 'entry_seq_check', 'seq'), ('ledger_head', 'ledger_head_epoch_check', 'epoch')) AS v (name, was, counted) LOOP
        IF NOT EXISTS (SELECT FROM pg_policy WHERE polrelid = ('hub.' || c.name)::regclass AND polname = 'counted') THEN
            EXECUTE format('CREATE POLICY counted ON hub.%I AS RESTRICTIVE USING (true) WITH CHECK (%I > 0)', c.name, c.counted);
        END IF;
        IF EXISTS (SELECT FROM pg_constraint WHERE conrelid = ('hub.' || c.name)::regclass AND conname = c.was) THEN
            EXECUTE format('ALTER TABLE hub.%I DROP CONSTRAINT %I', c.name, c.was);
        END IF;
    END LOOP;
END $$;

-- A line stands in a game that has a head. A foreign key would ask for it at every line, a
-- tenth of its time, also where the function has just moved that head and says so in
-- app.head: * for every line of its statement. Whoever writes in another way is asked. A
-- head stays: hubs may not delete one, nor give it another name.
DO $$
BEGIN
    IF NOT EXISTS (SELECT FROM pg_policy WHERE polrelid = 'hub.entry'::regclass AND polname = 'headed') THEN
        CREATE POLICY headed ON hub.entry AS RESTRICTIVE FOR INSERT
            WITH CHECK (current_setting('app.head', true) IN (game, '*') OR hub.has_head(association, game));
    END IF;
    IF EXISTS (SELECT FROM pg_constraint WHERE conrelid = 'hub.entry'::regclass AND conname = 'entry_association_game_fkey') THEN
        ALTER TABLE hub.entry DROP CONSTRAINT entry_association_game_fkey;
    END IF;
END $$;

-- The wall around each table, and who may do what to it.
DO $$
DECLARE
    t      record;
    tenant text;
    may    text;
BEGIN
    FOR t IN
        SELECT c.oid, c.relname::text AS name, c.relrowsecurity AND c.relforcerowsecurity AS walled,
            EXISTS (SELECT FROM pg_attribute a WHERE a.attrelid = c.oid AND a.attname = 'association' AND NOT a.attisdropped) AS owned,
            EXISTS (SELECT FROM pg_policy p WHERE p.polrelid = c.oid AND p.polname = 'tenant') AS known,
            EXISTS (SELECT FROM pg_policy p WHERE p.polrelid = c.oid AND p.polname = 'relay') AS relayed
        FROM pg_class c
        WHERE c.relnamespace = 'hub'::regnamespace AND c.relkind IN ('r', 'p') AND c.relname <> 'goose_db_version'
    LOOP
        tenant := CASE WHEN t.name = 'association' THEN 'id' WHEN t.owned THEN 'association' END;
        IF tenant IS NULL THEN
            RAISE EXCEPTION 'table % does not say whose its rows are', t.name;
        END IF;
        IF NOT t.walled THEN
            EXECUTE format('ALTER TABLE hub.%I ENABLE ROW LEVEL SECURITY', t.name);
            EXECUTE format('ALTER TABLE hub.%I FORCE ROW LEVEL SECURITY', t.name);
        END IF;
        IF NOT t.known THEN
            EXECUTE format('CREATE POLICY tenant ON hub.%1$I USING (%2$I = NULLIF(current_setting(''app.tenant'', true), ''''))'
                ' WITH CHECK (%2$I = NULLIF(current_setting(''app.tenant'', true), ''''))', t.name, tenant);
        END IF;
        IF t.name IN ('association', 'ledger_head', 'entry', 'outbox') AND NOT t.relayed THEN
            EXECUTE format('CREATE POLICY relay ON hub.%I TO whistlestop_relay USING (true)', t.name);
        END IF;
        may := CASE
            WHEN t.name IN ('entry', 'audit') THEN 'SELECT, INSERT'
            WHEN t.name = 'outbox' THEN 'INSERT'
            WHEN t.name = 'association' THEN 'SELECT, INSERT, UPDATE'
            WHEN t.name = 'ledger_head' THEN 'SELECT, INSERT, UPDATE (' || (SELECT string_agg(quote_ident(a.attname), ', ') FROM pg_attribute a
                WHERE a.attrelid = t.oid AND a.attnum > 0 AND NOT a.attisdropped AND a.attname NOT IN ('association', 'game')) || ')'
            ELSE 'SELECT, INSERT, UPDATE, DELETE' END;
        EXECUTE format('REVOKE ALL ON hub.%I FROM PUBLIC, whistlestop_app, whistlestop_relay, whistlestop_audit', t.name);
        EXECUTE format('GRANT %s ON hub.%I TO whistlestop_app', may, t.name);
        EXECUTE format('GRANT SELECT ON hub.%I TO whistlestop_audit', t.name);
    END LOOP;
END $$;

GRANT SELECT ON hub.goose_db_version TO whistlestop_app, whistlestop_audit;
GRANT SELECT ON hub.association, hub.ledger_head, hub.entry TO whistlestop_relay;
GRANT SELECT, UPDATE, DELETE ON hub.outbox TO whistlestop_relay;
