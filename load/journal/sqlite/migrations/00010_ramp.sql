-- +goose Up

-- KEPT. What was set of the way back to running. Rows are added, never changed; the last
-- stands.
CREATE TABLE ramp (
	seq         INTEGER NOT NULL PRIMARY KEY,
	runner      TEXT    NOT NULL REFERENCES runner (id),
	start_day   INTEGER NOT NULL,
	weeks       INTEGER NOT NULL,
	free        INTEGER NOT NULL, -- a bit for each weekday, Sunday the lowest
	goal_km     REAL    NOT NULL, -- 0: none
	goal_pace   REAL    NOT NULL, -- min per km; 0: not said
	goal_by     INTEGER,
	bmi         REAL    NOT NULL, -- 0: not said
	novice      INTEGER NOT NULL,
	ladder      TEXT    NOT NULL, -- empty: the default, or own
	own         TEXT    NOT NULL, -- stages as 10x1:1, 6x2:1
	first_stage INTEGER NOT NULL, -- 0: by what was run before
	confirm     INTEGER NOT NULL, -- stages up wait for a person,
	roof        INTEGER NOT NULL, -- beyond this one
	state       TEXT    NOT NULL CHECK (state IN ('running', 'held', 'ended')),
	until_day   INTEGER NOT NULL, -- of held: the last day; 0: until it is lifted
	why         TEXT    NOT NULL,
	who         TEXT    NOT NULL,
	at          INTEGER NOT NULL
) STRICT;

CREATE INDEX ramp_of ON ramp (runner, seq);

-- KEPT. Whether running can begin, as it was found on a day.
CREATE TABLE gate (
	seq          INTEGER NOT NULL PRIMARY KEY,
	runner       TEXT    NOT NULL REFERENCES runner (id),
	day          INTEGER NOT NULL,
	daily_pain   INTEGER,
	walk         INTEGER, -- min
	walk_settled INTEGER NOT NULL,
	raises       INTEGER,
	hops         INTEGER,
	load_pain    INTEGER,
	who          TEXT    NOT NULL,
	at           INTEGER NOT NULL
) STRICT;

CREATE INDEX gate_of ON gate (runner, seq);

-- KEPT. Addresses of calendars, by the hash of their secret; the last row of a hash stands.
CREATE TABLE feed (
	seq     INTEGER NOT NULL PRIMARY KEY,
	runner  TEXT    NOT NULL REFERENCES runner (id),
	hash    TEXT    NOT NULL,
	revoked INTEGER NOT NULL,
	who     TEXT    NOT NULL,
	at      INTEGER NOT NULL
) STRICT;

CREATE INDEX feed_of ON feed (runner, seq);
CREATE INDEX feed_hash ON feed (hash, seq);

PRAGMA user_version = 10;
