COMMIT
--
DELETE FROM branch WHERE association = $1 AND game = $2 AND number = $3
--
DELETE FROM desk_paper WHERE association = $1 AND name = $2 AND seq NOT IN
				(SELECT seq FROM desk_paper WHERE association = $3 AND name = $4 ORDER BY seq DESC LIMIT $5)
--
DELETE FROM desk_paper WHERE association = $1 AND seq <
			(SELECT MAX(n.seq) FROM desk_paper n WHERE n.association = desk_paper.association AND n.name = desk_paper.name)
--
DELETE FROM entry_branch WHERE association = $1 AND game = $2 AND number = $3
--
DELETE FROM hub.outbox WHERE ctid = ANY($1::text[]::tid[])
--
DELETE FROM identity WHERE association = $1 AND person = $2
--
DELETE FROM identity WHERE association = $1 AND person = $2 AND issuer = $3
--
DELETE FROM invitation WHERE association = $1 AND (expires < $2 OR ended > 0 AND ended < $3)
--
DELETE FROM managed WHERE association = $1 AND person = $2
--
DELETE FROM managed WHERE association = $1 AND person = $2 AND team = $3 AND division = $4
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
DELETE FROM player_name WHERE association = $1 AND game = $2
--
DELETE FROM player_name WHERE association = $1 AND game = $2 AND commitment = $3
--
DELETE FROM player_name WHERE association = $1 AND naming = $2
--
DELETE FROM player_name WHERE association = $1 AND older = $2
--
DELETE FROM session WHERE association = $1 AND (expires < $2 OR ended > 0 AND ended < $3)
--
DELETE FROM session WHERE association = $1 AND person = $2
--
DELETE FROM switch WHERE association = $1 AND name = $2
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
INSERT INTO desk_paper (association, seq, name, at, why, body) VALUES ($1, $2, $3, $4, $5, $6)
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
INSERT INTO identity (association, issuer, subject, person, made) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (association, issuer, subject) DO NOTHING
--
INSERT INTO invitation (association, id, hash, role, team, division, inviter, made, expires) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
INSERT INTO ledger_head (association, game, epoch, seq, hash, heard) VALUES ($1, $2, $3, 0, '', $4)
--
INSERT INTO managed (association, person, team, division) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING
--
INSERT INTO membership (association, person, role, team) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING
--
INSERT INTO older_line (association, game, hash, stands, fingerprint, made) VALUES ($1, $2, $3, $4, $5, $6)
			ON CONFLICT (association, game, hash) DO NOTHING
--
INSERT INTO passkey (association, id, person, handle, label, made, data) VALUES ($1, $2, $3, $4, $5, $6, $7)
			ON CONFLICT (association, id) DO NOTHING
--
INSERT INTO person (association, id, name, address, made) VALUES ($1, $2, $3, $4, $5)
--
INSERT INTO player_name (association, game, commitment, naming, text, older) VALUES ($1, $2, $3, $4, $5, $6)
--
INSERT INTO reopened (association, game, versions, made) VALUES ($1, $2, $3, $4) ON CONFLICT (association, game, versions) DO NOTHING
--
INSERT INTO session (association, id, person, hash, how, made, seen, proved, expires) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
INSERT INTO switch (association, name, made) VALUES ($1, $2, $3) ON CONFLICT (association, name) DO NOTHING
--
INSERT INTO ticket (association, hash, kind, person, data, made, expires) VALUES ($1, $2, $3, $4, $5, $6, $7)
--
INSERT INTO title (association, game, seq, hash, title) VALUES ($1, $2, $3, $4, $5)
			ON CONFLICT (association, game) DO UPDATE SET seq = excluded.seq, hash = excluded.hash, title = excluded.title
--
INSERT INTO token (association, id, kind, hash, label, division, made, expires) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)
--
ROLLBACK
--
SELECT 0::bigint, association, game, epoch, 1::bigint, seq FROM hub.ledger_head
			WHERE heard >= $1 ORDER BY association, game
--
SELECT CAST(COALESCE(SUM(seq + 1), 0) AS BIGINT) FROM branch WHERE association = $1
--
SELECT COALESCE(MAX(seq), 0) FROM audit WHERE association = $1
--
SELECT COALESCE(MAX(seq), 0) FROM desk_paper WHERE association = $1
--
SELECT COUNT(*), CAST(COALESCE(SUM(seq), 0) AS BIGINT), CAST(COALESCE(SUM(epoch), 0) AS BIGINT),
			CAST(COALESCE(SUM(forked * (common + 1)), 0) AS BIGINT), CAST(COALESCE(SUM(named), 0) AS BIGINT)
			FROM ledger_head WHERE association = $1
--
SELECT DISTINCT game FROM player_name WHERE association = $1 AND TRUE ORDER BY game
--
SELECT DISTINCT game FROM player_name WHERE association = $1 AND naming = $2 ORDER BY game
--
SELECT DISTINCT game FROM player_name WHERE association = $1 AND older = $2 ORDER BY game
--
SELECT EXISTS ( SELECT 1 FROM pg_tables WHERE (current_schema() IS NULL OR schemaname = current_schema()) AND tablename = 'goose_db_version' )
--
SELECT coalesce(min(seq), 0), coalesce(min(CASE WHEN at >= $1 THEN seq END), max(seq), 1) - 1
			FROM audit WHERE association = $2
--
SELECT commitment, naming, text, older FROM player_name WHERE association = $1 AND game = $2
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
SELECT epoch, seq, line FROM hub.entry WHERE association = $1 AND game = $2 AND seq BETWEEN $3 AND $4 ORDER BY seq
--
SELECT game, MAX(versions) FROM reopened WHERE association = $1 GROUP BY game
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
SELECT hash, stands, fingerprint FROM older_line WHERE association = $1 AND game = $2
--
SELECT hub.append_line($1, $2, $3, $4, $5, $6, $7, $8, $9)
--
SELECT hub.forget_log($1, $2)
--
SELECT hub.take_out($1, $2, $3)
--
SELECT id FROM person WHERE association = $1 AND address = $2 AND id <> $3
--
SELECT id, kind, label, division, made, expires, revoked, used FROM token WHERE association = $1 AND kind = $2 AND hash = $3
--
SELECT id, kind, label, division, made, expires, revoked, used FROM token WHERE association = $1 AND kind = $2 ORDER BY made DESC, id
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
SELECT id, role, team, division, inviter, made, expires, ended FROM invitation WHERE association = $1 AND hash = $2
--
SELECT id, role, team, division, inviter, made, expires, ended FROM invitation WHERE association = $1 ORDER BY made DESC, id
--
SELECT issuer, subject, person, made FROM identity WHERE association = $1 AND issuer = $2 AND subject = $3
--
SELECT issuer, subject, person, made FROM identity WHERE association = $1 AND person = $2 ORDER BY made, issuer, subject
--
SELECT kind, person, data, made, expires FROM ticket
		WHERE association = $1 AND kind = $2 AND hash = $3 AND used = 0 AND expires > $4
--
SELECT max(version_id) FROM goose_db_version
--
SELECT name FROM switch WHERE association = $1
--
SELECT name, body FROM desk_paper p WHERE association = $1 AND seq =
			(SELECT MAX(seq) FROM desk_paper n WHERE n.association = p.association AND n.name = p.name)
--
SELECT number, base, seq, hash, made, decided FROM branch
		WHERE association = $1 AND game = $2 ORDER BY number
--
SELECT o.place::text, o.id, o.association, o.game, o.epoch, o.first, o.last, e.epoch, e.seq, e.line
	FROM (SELECT ctid AS place, id, association, game, epoch, first, last FROM hub.outbox LIMIT $1 FOR UPDATE SKIP LOCKED) o
	LEFT JOIN LATERAL (
		SELECT epoch, seq, line FROM hub.entry
		WHERE association = o.association AND game = o.game AND seq BETWEEN o.first AND o.last ORDER BY seq LIMIT o.last - o.first + 1) e ON true
	LIMIT $2
--
SELECT person, at FROM deletion WHERE association = $1 ORDER BY at, person
--
SELECT person, role, team, '' AS division FROM membership WHERE association = $1
			UNION ALL SELECT person, 'manager', team, division FROM managed WHERE association = $2 ORDER BY role, team, division
--
SELECT pg_advisory_xact_lock(hashtextextended($1, 0))
--
SELECT role, team, '' AS division FROM membership WHERE association = $1 AND person = $2
		UNION ALL SELECT 'manager', team, division FROM managed WHERE association = $3 AND person = $4 ORDER BY role, team, division
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
SELECT to_regclass('hub.goose_db_version') IS NOT NULL AND
		to_regprocedure('hub.append_each(text, text[], bigint[], bigint[], text[], text[], text[], bytea[], bigint[])') IS NOT NULL
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
UPDATE ledger_head SET named = named + 1 WHERE association = $1 AND game = $2
--
UPDATE passkey SET data = $1, used = $2 WHERE association = $3 AND id = $4
--
UPDATE person SET name = $1, address = $2 WHERE association = $3 AND id = $4
--
UPDATE session SET ended = $1 WHERE association = $2 AND id = $3 AND ended = 0
--
UPDATE session SET ended = $1 WHERE association = $2 AND person = $3 AND ended = 0
			AND NOT EXISTS (SELECT 1 FROM membership WHERE association = $4 AND person = $5)
			AND NOT EXISTS (SELECT 1 FROM managed WHERE association = $6 AND person = $7)
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