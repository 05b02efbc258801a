-- +goose Up
-- Names of players as everybody may be shown them, by the commitment that stands in a line
-- of the ledger. A name that is gone from here is gone; the chain holds as before.
CREATE TABLE player_name (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    commitment  TEXT    NOT NULL,
    naming      TEXT    NOT NULL,
    text        TEXT    NOT NULL,
    PRIMARY KEY (association, game, commitment),
    FOREIGN KEY (association, game) REFERENCES ledger_head (association, game)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE player_name;
