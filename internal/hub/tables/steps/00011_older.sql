-- +goose Up
-- Lines of version 1 of which the hub read the bytes that were hashed: what stands in their
-- place is its own copy without the texts about people, by the SHA-256 of both. The bytes
-- that came are kept nowhere.
CREATE TABLE older_line (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    stands      TEXT    NOT NULL,
    fingerprint TEXT    NOT NULL, -- of a seal whose signature fitted
    made        INTEGER NOT NULL,
    PRIMARY KEY (association, game, hash),
    FOREIGN KEY (association, game) REFERENCES ledger_head (association, game)
) STRICT, WITHOUT ROWID;

-- Names that stood inside such lines go when the association decides so.
ALTER TABLE player_name ADD COLUMN older INTEGER NOT NULL DEFAULT 0;

-- How often the names of a game's players changed: what is shown of them is made anew then.
ALTER TABLE ledger_head ADD COLUMN named INTEGER NOT NULL DEFAULT 0;

-- +goose Down
ALTER TABLE ledger_head DROP COLUMN named;
ALTER TABLE player_name DROP COLUMN older;
DROP TABLE older_line;
