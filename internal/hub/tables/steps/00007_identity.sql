-- +goose Up
-- Who people are at another service that signs them in.
CREATE TABLE identity (
    association TEXT    NOT NULL,
    issuer      TEXT    NOT NULL,
    subject     TEXT    NOT NULL,
    person      TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    PRIMARY KEY (association, issuer, subject),
    FOREIGN KEY (association, person) REFERENCES person (association, id)
) STRICT, WITHOUT ROWID;
CREATE INDEX identity_person ON identity (association, person);

-- +goose Down
DROP TABLE identity;
