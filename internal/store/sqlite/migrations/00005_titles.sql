-- +goose Up
-- What the list shows of a game, so that it need not be folded for that. It
-- counts while the game ends as it did then.
CREATE TABLE titles (
    game  TEXT    NOT NULL PRIMARY KEY REFERENCES games (id) ON DELETE CASCADE,
    seq   INTEGER NOT NULL,
    head  TEXT    NOT NULL,
    title TEXT    NOT NULL
) STRICT;

-- +goose Down
DROP TABLE titles;
