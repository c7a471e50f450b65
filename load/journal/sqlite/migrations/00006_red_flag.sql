-- +goose Up

-- KEPT. What was said of signs that are no matter of limits. Rows are added, never
-- changed; of each flag the last one stands.
CREATE TABLE red_flag (
	seq    INTEGER NOT NULL PRIMARY KEY,
	runner TEXT    NOT NULL REFERENCES runner (id),
	flag   TEXT    NOT NULL,
	day    INTEGER NOT NULL,
	lifted INTEGER NOT NULL, -- 1: it does not stand any more from this day on
	why    TEXT    NOT NULL,
	who    TEXT    NOT NULL,
	at     INTEGER NOT NULL
) STRICT;

CREATE INDEX red_flag_of ON red_flag (runner, seq);

PRAGMA user_version = 6;
