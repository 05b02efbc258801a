-- +goose Up
-- Roles of managers whose team is that of one division. Those without one stay in
-- membership and are good for every team of the name. A hub of the version before knows
-- nothing of this table, and so allows nobody more than they may do.
CREATE TABLE managed (
    association TEXT NOT NULL,
    person      TEXT NOT NULL,
    team        TEXT NOT NULL,
    division    TEXT NOT NULL,
    PRIMARY KEY (association, person, team, division),
    FOREIGN KEY (association, person) REFERENCES person (association, id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- The division of what somebody is invited as.
ALTER TABLE invitation ADD COLUMN division TEXT NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE invitation DROP COLUMN division;
DROP TABLE managed;
