-- +goose Up
-- A game is its ledger. A line is the exact JSON of the entry: what is folded
-- is what was written. hash is of the line's bytes, so that damage to the newest
-- entry, which no later entry vouches for, is seen as well.
CREATE TABLE games (
    id     TEXT    NOT NULL PRIMARY KEY,
    opened INTEGER NOT NULL
) STRICT;

CREATE TABLE entries (
    game TEXT    NOT NULL REFERENCES games (id),
    seq  INTEGER NOT NULL CHECK (seq > 0),
    id   TEXT    NOT NULL UNIQUE,
    line TEXT    NOT NULL,
    hash TEXT    NOT NULL,
    PRIMARY KEY (game, seq)
) STRICT;

-- +goose Down
DROP TABLE entries;
DROP TABLE games;
