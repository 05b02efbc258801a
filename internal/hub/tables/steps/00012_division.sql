-- +goose Up
-- The division of which a team's link shows games. Empty, as in every link that was made
-- before: all that have a team of this name.
ALTER TABLE token ADD COLUMN division TEXT NOT NULL DEFAULT '';

-- +goose Down
ALTER TABLE token DROP COLUMN division;
