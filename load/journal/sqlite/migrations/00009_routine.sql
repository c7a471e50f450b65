-- +goose Up

-- KEPT. Programmes of one's own. Rows are added, never changed: a change is another routine.
CREATE TABLE routine (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL REFERENCES runner (id),
	id        TEXT    NOT NULL,
	name      TEXT    NOT NULL,
	site      TEXT    NOT NULL,
	most_pain INTEGER NOT NULL,
	who       TEXT    NOT NULL,
	at        INTEGER NOT NULL,
	UNIQUE (runner, id)
) STRICT;

CREATE TABLE routine_dose (
	runner        TEXT    NOT NULL,
	routine       TEXT    NOT NULL,
	n             INTEGER NOT NULL,
	exercise      TEXT    NOT NULL,
	sets          INTEGER NOT NULL,
	reps          INTEGER NOT NULL,
	hold          INTEGER NOT NULL, -- seconds
	minutes       INTEGER NOT NULL,
	weight        REAL    NOT NULL, -- kg
	per_day       INTEGER NOT NULL,
	days_per_week INTEGER NOT NULL,
	min_hours     INTEGER NOT NULL,
	side          TEXT    NOT NULL,
	note          TEXT    NOT NULL,
	PRIMARY KEY (runner, routine, n),
	FOREIGN KEY (runner, routine) REFERENCES routine (runner, id)
) STRICT;

-- KEPT. What is allowed of a complaint in advance; the last row stands.
CREATE TABLE standing_order (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL,
	complaint TEXT    NOT NULL,
	phase     INTEGER NOT NULL, -- of the programme, from 1; 0: none
	stage     INTEGER NOT NULL, -- of the ramp, from 1; 0: none
	until_day INTEGER NOT NULL,
	who       TEXT    NOT NULL,
	at        INTEGER NOT NULL,
	FOREIGN KEY (runner, complaint) REFERENCES complaint (runner, id)
) STRICT;

CREATE INDEX standing_order_of ON standing_order (runner, seq);

PRAGMA user_version = 9;
