-- +goose Up
-- What the crew's desk keeps: a paper is a text with a name. Every change of one is
-- a row; the newest row of a name is the paper.
CREATE TABLE papers (
    seq  INTEGER NOT NULL PRIMARY KEY,
    at   INTEGER NOT NULL,
    why  TEXT    NOT NULL,
    name TEXT    NOT NULL,
    body BLOB    NOT NULL
) STRICT;
CREATE INDEX papers_by_name ON papers (name, seq);

-- +goose Down
DROP TABLE papers;
