-- +goose Up
-- Whom somebody deleted: the id, which tells nothing, so that it is done once more after
-- an older copy was restored.
CREATE TABLE deletion (
    association TEXT    NOT NULL REFERENCES association (id),
    person      TEXT    NOT NULL,
    at          INTEGER NOT NULL,
    PRIMARY KEY (association, person)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE deletion;
