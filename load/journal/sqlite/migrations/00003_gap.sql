-- +goose Up

-- KEPT. What the runner said of days without a record. Rows are added, never
-- changed; on each day the last one that holds it stands.
CREATE TABLE gap (
	seq      INTEGER NOT NULL PRIMARY KEY,
	runner   TEXT    NOT NULL REFERENCES runner (id),
	from_day INTEGER NOT NULL,
	to_day   INTEGER NOT NULL,
	answer   TEXT    NOT NULL CHECK (answer IN ('rested', 'ran', 'unknown', '')), -- empty: taken back
	runs     INTEGER NOT NULL,
	longest  INTEGER NOT NULL, -- millimetres; 0: not said
	who      TEXT    NOT NULL,
	at       INTEGER NOT NULL
) STRICT;

CREATE INDEX gap_runner ON gap (runner, seq);

-- DERIVED. Sessions of the version before lack these and are rebuilt.
ALTER TABLE session ADD COLUMN double TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN shoe TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN note TEXT NOT NULL DEFAULT '';
ALTER TABLE session ADD COLUMN run_spells INTEGER NOT NULL DEFAULT 0;
ALTER TABLE session ADD COLUMN flat_acsm REAL NOT NULL DEFAULT 0;
ALTER TABLE session ADD COLUMN measure_run_distance INTEGER; -- millimetres
ALTER TABLE session ADD COLUMN measure_run_time INTEGER; -- milliseconds
ALTER TABLE session ADD COLUMN measure_flat INTEGER; -- millimetres

PRAGMA user_version = 3;
