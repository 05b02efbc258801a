-- +goose Up
-- Reports of which the association wants a further version than those that were sealed.
CREATE TABLE reopened (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    versions    INTEGER NOT NULL CHECK (versions > 0),
    made        INTEGER NOT NULL,
    PRIMARY KEY (association, game, versions),
    FOREIGN KEY (association, game) REFERENCES ledger_head (association, game)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE reopened;
