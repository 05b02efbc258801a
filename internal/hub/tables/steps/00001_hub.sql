-- +goose Up
-- The association is first in every key: a question that names another one finds
-- nothing. A line is the bytes that were hashed, never JSON written anew.
CREATE TABLE association (
    id   TEXT    NOT NULL PRIMARY KEY,
    name TEXT    NOT NULL,
    made INTEGER NOT NULL
) STRICT;

CREATE TABLE ledger_head (
    association TEXT    NOT NULL REFERENCES association (id),
    game        TEXT    NOT NULL,
    epoch       INTEGER NOT NULL CHECK (epoch > 0),
    seq         INTEGER NOT NULL,
    hash        TEXT    NOT NULL,
    forked      INTEGER NOT NULL DEFAULT 0,
    common      INTEGER NOT NULL DEFAULT 0,
    heard       INTEGER NOT NULL,
    PRIMARY KEY (association, game)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    seq         INTEGER NOT NULL CHECK (seq > 0),
    epoch       INTEGER NOT NULL,
    id          TEXT    NOT NULL,
    prev        TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    line        BLOB    NOT NULL,
    PRIMARY KEY (association, game, seq),
    UNIQUE (association, game, id),
    FOREIGN KEY (association, game) REFERENCES ledger_head (association, game)
) STRICT, WITHOUT ROWID;

-- What stands beside a ledger, because other lines stand in its places.
CREATE TABLE branch (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    number      INTEGER NOT NULL CHECK (number > 0),
    base        INTEGER NOT NULL,
    seq         INTEGER NOT NULL,
    hash        TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    decided     INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (association, game, number),
    FOREIGN KEY (association, game) REFERENCES ledger_head (association, game)
) STRICT, WITHOUT ROWID;

CREATE TABLE entry_branch (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    number      INTEGER NOT NULL,
    seq         INTEGER NOT NULL,
    epoch       INTEGER NOT NULL,
    id          TEXT    NOT NULL,
    prev        TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    line        BLOB    NOT NULL,
    PRIMARY KEY (association, game, number, seq),
    FOREIGN KEY (association, game, number) REFERENCES branch (association, game, number)
) STRICT, WITHOUT ROWID;

-- What a list shows of a game. It counts while the game ends as it did then.
CREATE TABLE title (
    association TEXT    NOT NULL,
    game        TEXT    NOT NULL,
    seq         INTEGER NOT NULL,
    hash        TEXT    NOT NULL,
    title       TEXT    NOT NULL,
    PRIMARY KEY (association, game),
    FOREIGN KEY (association, game) REFERENCES ledger_head (association, game)
) STRICT, WITHOUT ROWID;

-- Benches, links of teams, sessions, links that open one. A secret is kept as its
-- SHA-256: what is read from the disk opens nothing.
CREATE TABLE token (
    association TEXT    NOT NULL REFERENCES association (id),
    id          TEXT    NOT NULL,
    kind        TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    label       TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    expires     INTEGER NOT NULL,
    revoked     INTEGER NOT NULL DEFAULT 0,
    used        INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (association, id),
    UNIQUE (association, kind, hash)
) STRICT, WITHOUT ROWID;

-- What people did, each line with the hash of the one before.
CREATE TABLE audit (
    association TEXT    NOT NULL REFERENCES association (id),
    seq         INTEGER NOT NULL CHECK (seq > 0),
    at          INTEGER NOT NULL,
    who         TEXT    NOT NULL,
    what        TEXT    NOT NULL,
    object      TEXT    NOT NULL,
    origin      TEXT    NOT NULL,
    prev        TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    PRIMARY KEY (association, seq)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE audit;
DROP TABLE token;
DROP TABLE title;
DROP TABLE entry_branch;
DROP TABLE branch;
DROP TABLE entry;
DROP TABLE ledger_head;
DROP TABLE association;
