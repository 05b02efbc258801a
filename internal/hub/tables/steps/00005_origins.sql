-- +goose Up
-- Pages of others that may show an association's games.
CREATE TABLE origin (
    association TEXT    NOT NULL REFERENCES association (id),
    origin      TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    PRIMARY KEY (association, origin)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE origin;
