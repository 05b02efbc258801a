-- +goose Up
-- The crew's desk of an association and the season beside it: texts by their names, each
-- change a row of its own under the next number, whatever it changed.
CREATE TABLE desk_paper (
    association TEXT    NOT NULL REFERENCES association (id),
    seq         INTEGER NOT NULL CHECK (seq > 0),
    name        TEXT    NOT NULL,
    at          INTEGER NOT NULL,
    why         TEXT    NOT NULL,
    body        BLOB    NOT NULL,
    PRIMARY KEY (association, seq, name)
) STRICT, WITHOUT ROWID;
CREATE INDEX desk_paper_name ON desk_paper (association, name, seq);

-- +goose Down
DROP TABLE desk_paper;
