-- +goose Up

-- KEPT. Results of tests and totals of questionnaires. Rows are added, never changed; of
-- a test and a day the last one stands.
CREATE TABLE result (
	seq        INTEGER NOT NULL PRIMARY KEY,
	runner     TEXT    NOT NULL REFERENCES runner (id),
	test       TEXT    NOT NULL,
	day        INTEGER NOT NULL,
	left_side  REAL, -- null: not measured
	right_side REAL,
	total      REAL,
	note       TEXT    NOT NULL,
	who        TEXT    NOT NULL,
	at         INTEGER NOT NULL
) STRICT;

CREATE INDEX result_of ON result (runner, seq);

PRAGMA user_version = 7;
