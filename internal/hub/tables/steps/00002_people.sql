-- +goose Up
-- People of an association. Whoever helps two associations is two people: nothing here
-- joins them.
CREATE TABLE person (
    association TEXT    NOT NULL REFERENCES association (id),
    id          TEXT    NOT NULL,
    name        TEXT    NOT NULL,
    address     TEXT    NOT NULL DEFAULT '',
    made        INTEGER NOT NULL,
    PRIMARY KEY (association, id)
) STRICT, WITHOUT ROWID;
CREATE UNIQUE INDEX person_address ON person (association, address) WHERE address <> '';

CREATE TABLE membership (
    association TEXT    NOT NULL,
    person      TEXT    NOT NULL,
    role        TEXT    NOT NULL,
    team        TEXT    NOT NULL DEFAULT '',
    PRIMARY KEY (association, person, role, team),
    FOREIGN KEY (association, person) REFERENCES person (association, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE invitation (
    association TEXT    NOT NULL REFERENCES association (id),
    id          TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    role        TEXT    NOT NULL,
    team        TEXT    NOT NULL DEFAULT '',
    inviter     TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    expires     INTEGER NOT NULL,
    ended       INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (association, id),
    UNIQUE (association, hash)
) STRICT, WITHOUT ROWID;

-- A session of a person. How somebody signed in decides what they may do until they
-- show a passkey.
CREATE TABLE session (
    association TEXT    NOT NULL,
    id          TEXT    NOT NULL,
    person      TEXT    NOT NULL,
    hash        TEXT    NOT NULL,
    how         TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    seen        INTEGER NOT NULL,
    proved      INTEGER NOT NULL,
    expires     INTEGER NOT NULL,
    ended       INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (association, id),
    UNIQUE (association, hash),
    FOREIGN KEY (association, person) REFERENCES person (association, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX session_person ON session (association, person);

-- +goose Down
DROP TABLE session;
DROP TABLE invitation;
DROP TABLE membership;
DROP TABLE person;
