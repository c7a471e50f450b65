-- +goose Up

-- Of a step that opens a complaint again: when it began again, 0: not said, and the same on the
-- other side, empty: not said.
ALTER TABLE complaint_step ADD COLUMN onset INTEGER NOT NULL DEFAULT 0;
ALTER TABLE complaint_step ADD COLUMN linked TEXT NOT NULL DEFAULT '';

PRAGMA user_version = 13;
