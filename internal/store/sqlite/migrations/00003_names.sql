-- +goose Up
-- Texts about people lie beside the ledger, whose lines have commitments in
-- their place: so one can be deleted and the chain of hashes holds as before.
-- Every commitment of a ledger has its row, so that a row that a damaged page
-- lost is missed. An empty text is one that is not known here, or with gone one
-- that was deleted and does not come back with an older copy.
CREATE TABLE names (
    game       TEXT    NOT NULL,
    commitment TEXT    NOT NULL,
    random     TEXT    NOT NULL,
    text       TEXT    NOT NULL,
    gone       INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (game, commitment)
) STRICT;

-- +goose Down
DROP TABLE names;
