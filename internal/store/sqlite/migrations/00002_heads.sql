-- +goose Up
-- The newest entry of each game, written with it: a database whose pages were
-- damaged may lose rows without a word, and must not give a shorter game.
ALTER TABLE games ADD COLUMN newest INTEGER NOT NULL DEFAULT 0;
ALTER TABLE games ADD COLUMN head TEXT NOT NULL DEFAULT '';
UPDATE games SET
    newest = (SELECT coalesce(max(seq), 0) FROM entries WHERE entries.game = games.id),
    head = coalesce((SELECT hash FROM entries WHERE entries.game = games.id ORDER BY seq DESC LIMIT 1), '');

-- +goose Down
ALTER TABLE games DROP COLUMN head;
ALTER TABLE games DROP COLUMN newest;
