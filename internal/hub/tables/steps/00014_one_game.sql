-- +goose Up
-- A bench that may send one game and no other: the first that it sends, which is empty
-- until then.
ALTER TABLE token ADD COLUMN one_game INTEGER NOT NULL DEFAULT 0;
ALTER TABLE token ADD COLUMN game TEXT NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE token DROP COLUMN game;
ALTER TABLE token DROP COLUMN one_game;
