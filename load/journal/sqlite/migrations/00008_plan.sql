-- +goose Up

-- KEPT. Which programme is done for a complaint. Rows are added, never changed; of those
-- that begin on a day or before, the one that begins last stands.
CREATE TABLE prescription (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL,
	complaint TEXT    NOT NULL,
	programme TEXT    NOT NULL,
	started   INTEGER NOT NULL,
	phase     INTEGER NOT NULL, -- 0: by the week
	state     TEXT    NOT NULL CHECK (state IN ('running', 'paused', 'ended')),
	from_day  INTEGER NOT NULL,
	why       TEXT    NOT NULL,
	who       TEXT    NOT NULL,
	at        INTEGER NOT NULL,
	FOREIGN KEY (runner, complaint) REFERENCES complaint (runner, id)
) STRICT;

CREATE INDEX prescription_of ON prescription (runner, seq);

-- KEPT. What was done of the exercises. Rows are added, never changed.
CREATE TABLE exercise_log (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL,
	complaint TEXT    NOT NULL,
	day       INTEGER NOT NULL,
	exercise  TEXT    NOT NULL,
	sets      INTEGER NOT NULL,
	reps      INTEGER NOT NULL,
	hold      INTEGER NOT NULL, -- seconds
	minutes   INTEGER NOT NULL,
	weight    REAL    NOT NULL, -- kg
	pain      INTEGER,
	note      TEXT    NOT NULL,
	who       TEXT    NOT NULL,
	at        INTEGER NOT NULL,
	FOREIGN KEY (runner, complaint) REFERENCES complaint (runner, id)
) STRICT;

CREATE INDEX exercise_log_of ON exercise_log (runner, seq);

-- KEPT. Days on which nobody asks for a programme.
CREATE TABLE away (
	seq      INTEGER NOT NULL PRIMARY KEY,
	runner   TEXT    NOT NULL REFERENCES runner (id),
	from_day INTEGER NOT NULL,
	to_day   INTEGER NOT NULL,
	reason   TEXT    NOT NULL CHECK (reason IN ('away', 'ill', '')), -- empty: taken back
	who      TEXT    NOT NULL,
	at       INTEGER NOT NULL
) STRICT;

CREATE INDEX away_of ON away (runner, seq);

PRAGMA user_version = 8;
