COMMIT
--
DELETE FROM branch WHERE association = $1 AND game = $2 AND number = $3
--
DELETE FROM entry_branch WHERE association = $1 AND game = $2 AND number = $3
--
DELETE FROM hub.outbox WHERE id = ANY($1)
--
DELETE FROM invitation WHERE association = $1 AND (expires < $2 OR ended > 0 AND ended < $3)
--
DELETE FROM membership WHERE association = $1 AND person = $2
--
DELETE FROM membership WHERE association = $1 AND person = $2 AND role = $3 AND team = $4
--
DELETE FROM passkey WHERE association = $1 AND person = $2
--
DELETE FROM passkey WHERE association = $1 AND person = $2 AND id = $3
--
DELETE FROM person WHERE association = $1 AND id = $2
--
DELETE FROM session WHERE association = $1 AND (expires < $2 OR ended > 0 AND ended < $3)
--
DELETE FROM session WHERE association = $1 AND person = $2
--
DELETE FROM ticket WHERE association = $1 AND (expires < $2 OR used > 0 AND used < $3)
--
DELETE FROM ticket WHERE association = $1 AND expires <= $2
--
DELETE FROM ticket WHERE association = $1 AND person = $2
--
INSERT INTO association (id, name, made) VALUES ($1, $2, $3)
			ON CONFLICT (id) DO UPDATE SET name = excluded.name
--
INSERT INTO audit (association, seq, at, who, what, object, origin, prev, hash) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
INSERT INTO branch (association, game, number, base, seq, hash, made) VALUES ($1, $2, $3, $4, $5, $6, $7)
--
INSERT INTO branch (association, game, number, base, seq, hash, made) VALUES ($1, $2, $3, $4, 0, '', $5)
--
INSERT INTO deletion (association, person, at) VALUES ($1, $2, $3) ON CONFLICT (association, person) DO NOTHING
--
INSERT INTO entry (association, game, seq, epoch, id, prev, hash, line)
		SELECT association, game, seq, epoch, id, prev, hash, line FROM entry_branch
		WHERE association = $1 AND game = $2 AND number = $3 ON CONFLICT (association, game, id) DO NOTHING
--
INSERT INTO entry (association, game, seq, epoch, id, prev, hash, line) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
			ON CONFLICT (association, game, id) DO NOTHING
--
INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			SELECT association, game, $1, seq, epoch, id, prev, hash, line FROM entry
			WHERE association = $2 AND game = $3 AND seq >= $4 AND seq < $5
--
INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			SELECT association, game, $1, seq, epoch, id, prev, hash, line FROM entry WHERE association = $2 AND game = $3 AND seq >= $4
--
INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			SELECT association, game, $1, seq, epoch, id, prev, hash, line FROM entry_branch
			WHERE association = $2 AND game = $3 AND number = $4 AND seq < $5
--
INSERT INTO entry_branch (association, game, number, seq, epoch, id, prev, hash, line)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
INSERT INTO hub.outbox (association, game, epoch, first, last) VALUES ($1, $2, $3, $4, $5)
--
INSERT INTO invitation (association, id, hash, role, team, inviter, made, expires) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
--
INSERT INTO membership (association, person, role, team) VALUES ($1, $2, $3, $4)
				ON CONFLICT DO NOTHING
--
INSERT INTO passkey (association, id, person, handle, label, made, data) VALUES ($1, $2, $3, $4, $5, $6, $7)
			ON CONFLICT (association, id) DO NOTHING
--
INSERT INTO person (association, id, name, address, made) VALUES ($1, $2, $3, $4, $5)
--
INSERT INTO session (association, id, person, hash, how, made, seen, proved, expires) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
INSERT INTO ticket (association, hash, kind, person, data, made, expires) VALUES ($1, $2, $3, $4, $5, $6, $7)
--
INSERT INTO title (association, game, seq, hash, title) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (association, game) DO UPDATE SET seq = excluded.seq, hash = excluded.hash, title = excluded.title
--
INSERT INTO token (association, id, kind, hash, label, made, expires) VALUES ($1, $2, $3, $4, $5, $6, $7)
--
ROLLBACK
--
SELECT 0::bigint, association, game, epoch, 1::bigint, seq FROM hub.ledger_head
			WHERE heard >= $1 ORDER BY association, game
--
SELECT EXISTS ( SELECT 1 FROM pg_tables WHERE (current_schema() IS NULL OR schemaname = current_schema()) AND tablename = 'goose_db_version' )
--
SELECT coalesce(min(seq), 0), coalesce(min(CASE WHEN at >= $1 THEN seq END), max(seq), 1) - 1
			FROM audit WHERE association = $2
--
SELECT count(*) FILTER (WHERE person <> $1), count(*) FILTER (WHERE person = $2)
		FROM membership WHERE association = $3 AND role = $4
--
SELECT count(*) FROM ticket WHERE association = $1 AND kind = $2 AND person = $3 AND made > $4
--
SELECT count(*), coalesce(extract(epoch FROM clock_timestamp() - min(made)) * 1000000, 0)::bigint FROM hub.outbox
--
SELECT current_setting($1)
--
SELECT current_setting('server_version_num')::int, bool_or(rolsuper), bool_or(rolbypassrls),
		COALESCE(bool_or(has_table_privilege(rolname, to_regclass('hub.entry'), 'UPDATE, DELETE, TRUNCATE')), false)
		FROM pg_roles WHERE rolname IN (current_user, session_user)
--
SELECT epoch, seq, hash, forked, common FROM ledger_head WHERE association = $1 AND game = $2
--
SELECT game, heard, epoch, seq, hash, forked, common FROM ledger_head
		WHERE association = $1 ORDER BY heard DESC, game
--
SELECT h.association, h.game, h.epoch, h.seq, h.hash, h.forked <> 0, h.common
				FROM unnest($1::text[], $2::text[]) AS a (association, game) JOIN hub.ledger_head h USING (association, game)
--
SELECT hash FROM entry WHERE association = $1 AND game = $2 AND seq = $3
--
SELECT hash FROM entry_branch WHERE association = $1 AND game = $2 AND number = $3 AND seq = $4
--
SELECT hub.forget_log($1, $2)
--
SELECT hub.take_out($1, $2, $3)
--
SELECT id FROM person WHERE association = $1 AND address = $2 AND id <> $3
--
SELECT id, association, game, epoch, first, last FROM hub.outbox ORDER BY id LIMIT $1 FOR UPDATE SKIP LOCKED
--
SELECT id, kind, label, made, expires, revoked, used FROM token WHERE association = $1 AND kind = $2 AND hash = $3
--
SELECT id, kind, label, made, expires, revoked, used FROM token WHERE association = $1 AND kind = $2 ORDER BY made DESC, id
--
SELECT id, name, address, made FROM person WHERE association = $1 AND id = $2
--
SELECT id, name, address, made FROM person WHERE association = $1 ORDER BY name, id
--
SELECT id, person, handle, label, made, used, data FROM passkey WHERE association = $1 AND id = $2
--
SELECT id, person, handle, label, made, used, data FROM passkey WHERE association = $1 AND person = $2 ORDER BY made, id
--
SELECT id, person, how, made, seen, proved, expires, ended FROM session WHERE association = $1 AND (person = $2 OR $3 = '') ORDER BY made DESC, id
--
SELECT id, person, how, made, seen, proved, expires, ended FROM session WHERE association = $1 AND hash = $2
--
SELECT id, role, team, inviter, made, expires, ended FROM invitation WHERE association = $1 AND hash = $2
--
SELECT id, role, team, inviter, made, expires, ended FROM invitation WHERE association = $1 ORDER BY made DESC, id
--
SELECT kind, person, data, made, expires FROM ticket
		WHERE association = $1 AND kind = $2 AND hash = $3 AND used = 0 AND expires > $4
--
SELECT max(version_id) FROM goose_db_version
--
SELECT number, base, seq, hash, made, decided FROM branch
		WHERE association = $1 AND game = $2 ORDER BY number
--
SELECT person, at FROM deletion WHERE association = $1 ORDER BY at, person
--
SELECT person, role, team FROM membership WHERE association = $1 ORDER BY role, team
--
SELECT pg_advisory_xact_lock(hashtextextended($1, 0))
--
SELECT r.n, e.epoch, e.seq, e.line
		FROM unnest($1::text[], $2::text[], $3::bigint[], $4::bigint[]) WITH ORDINALITY AS r (association, game, first, last, n)
		CROSS JOIN LATERAL (
			SELECT epoch, seq, line FROM hub.entry
			WHERE association = r.association AND game = r.game AND seq BETWEEN r.first AND r.last ORDER BY seq LIMIT r.last - r.first + 1) e
		WHERE r.first > 0
--
SELECT role, team FROM membership WHERE association = $1 AND person = $2 ORDER BY role, team
--
SELECT seq, at, who, what, object, origin, prev, hash FROM audit WHERE association = $1 AND seq > $2 ORDER BY seq LIMIT $3
--
SELECT seq, at, who, what, object, origin, prev, hash FROM audit WHERE association = $1 ORDER BY seq DESC LIMIT 1
--
SELECT seq, id, prev, hash, line FROM entry
		WHERE association = $1 AND game = $2 AND seq > $3 ORDER BY seq LIMIT $4
--
SELECT seq, id, prev, hash, line FROM entry_branch
		WHERE association = $1 AND game = $2 AND number = $3 ORDER BY seq
--
SELECT straight, forked, common FROM hub.append_lines($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
SELECT title FROM title WHERE association = $1 AND game = $2 AND seq = $3 AND hash = $4
--
SELECT to_regclass('hub.goose_db_version') IS NOT NULL
--
SET LOCAL synchronous_commit = off
--
UPDATE branch SET base = $1 WHERE association = $2 AND game = $3 AND number = $4
--
UPDATE branch SET decided = 1 WHERE association = $1 AND game = $2
--
UPDATE branch SET seq = $1, hash = $2 WHERE association = $3 AND game = $4 AND number = $5
--
UPDATE invitation SET ended = $1 WHERE association = $2 AND id = $3 AND ended = 0
--
UPDATE invitation SET ended = $1 WHERE association = $2 AND id = $3 AND ended = 0 AND expires > $4
--
UPDATE invitation SET ended = $1 WHERE association = $2 AND inviter = $3 AND ended = 0
--
UPDATE ledger_head SET epoch = $1, seq = $2, hash = $3, heard = $4 WHERE association = $5 AND game = $6
--
UPDATE ledger_head SET epoch = epoch + 1 WHERE association = $1 AND game = $2
--
UPDATE ledger_head SET forked = 0, common = 0, seq = $1, hash = $2 WHERE association = $3 AND game = $4
--
UPDATE ledger_head SET forked = 1, common = $1 WHERE association = $2 AND game = $3
--
UPDATE passkey SET data = $1, used = $2 WHERE association = $3 AND id = $4
--
UPDATE person SET name = $1, address = $2 WHERE association = $3 AND id = $4
--
UPDATE session SET ended = $1 WHERE association = $2 AND id = $3 AND ended = 0
--
UPDATE session SET ended = $1 WHERE association = $2 AND person = $3 AND ended = 0
			AND NOT EXISTS (SELECT 1 FROM membership WHERE association = $4 AND person = $5)
--
UPDATE session SET hash = $1, how = $2, seen = $3, proved = $4 WHERE association = $5 AND id = $6 AND ended = 0
--
UPDATE session SET seen = $1 WHERE association = $2 AND id = $3
--
UPDATE ticket SET used = $1 WHERE association = $2 AND hash = $3
--
UPDATE token SET revoked = $1 WHERE association = $2 AND id = $3 AND revoked = 0
--
UPDATE token SET revoked = $1, used = $2 WHERE association = $3 AND id = $4 AND revoked = 0
--
UPDATE token SET used = $1 WHERE association = $2 AND id = $3