-- +goose Up
-- What an association turned on. What has no row is off.
CREATE TABLE switch (
    association TEXT    NOT NULL REFERENCES association (id),
    name        TEXT    NOT NULL,
    made        INTEGER NOT NULL,
    PRIMARY KEY (association, name)
) STRICT, WITHOUT ROWID;

-- +goose Down
DROP TABLE switch;
