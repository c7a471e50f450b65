-- +goose Up

-- KEPT. What was said of races to come. Rows are added, never changed; of each
-- day the last one stands.
CREATE TABLE race (
	seq      INTEGER NOT NULL PRIMARY KEY,
	runner   TEXT    NOT NULL REFERENCES runner (id),
	day      INTEGER NOT NULL,
	name     TEXT    NOT NULL,
	distance INTEGER NOT NULL, -- millimetres; 0: not said
	off      INTEGER NOT NULL, -- 1: it is not run after all
	who      TEXT    NOT NULL,
	at       INTEGER NOT NULL
) STRICT;

CREATE INDEX race_runner ON race (runner, seq);

-- DERIVED. Sessions of the version before lack these and are rebuilt.
ALTER TABLE session ADD COLUMN heart_peak INTEGER NOT NULL DEFAULT 0;
ALTER TABLE session ADD COLUMN heart_times BLOB NOT NULL DEFAULT x''; -- time at each bpm
ALTER TABLE session ADD COLUMN heart_covered INTEGER NOT NULL DEFAULT 0;
ALTER TABLE session ADD COLUMN speeds BLOB NOT NULL DEFAULT x''; -- time at each tenth of m/s
ALTER TABLE session ADD COLUMN measure_tendon INTEGER; -- millimetres
ALTER TABLE session ADD COLUMN tendon_low INTEGER NOT NULL DEFAULT 0;
ALTER TABLE session ADD COLUMN tendon_high INTEGER NOT NULL DEFAULT 0;

PRAGMA user_version = 4;
