-- +goose Up
-- Passkeys of people. The handle is random and the same for all of one person's: it has
-- neither name nor address in it.
CREATE TABLE passkey (
    association TEXT    NOT NULL,
    id          TEXT    NOT NULL,
    person      TEXT    NOT NULL,
    handle      BLOB    NOT NULL,
    label       TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    used        INTEGER NOT NULL DEFAULT 0,
    data        BLOB    NOT NULL,
    PRIMARY KEY (association, id),
    FOREIGN KEY (association, person) REFERENCES person (association, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX passkey_person ON passkey (association, person);

-- What is good once and soon ends: a link by mail, a passkey that is being shown.
CREATE TABLE ticket (
    association TEXT    NOT NULL REFERENCES association (id),
    hash        TEXT    NOT NULL,
    kind        TEXT    NOT NULL,
    person      TEXT    NOT NULL,
    data        BLOB    NOT NULL,
    made        INTEGER NOT NULL,
    expires     INTEGER NOT NULL,
    used        INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (association, hash)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE ticket;
DROP TABLE passkey;
