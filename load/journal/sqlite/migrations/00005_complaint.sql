-- +goose Up

-- KEPT. What hurts and is followed. What became of it are its steps.
CREATE TABLE complaint (
	seq    INTEGER NOT NULL PRIMARY KEY,
	runner TEXT    NOT NULL REFERENCES runner (id),
	id     TEXT    NOT NULL,
	site   TEXT    NOT NULL,
	side   TEXT    NOT NULL CHECK (side IN ('left', 'right')),
	onset  INTEGER NOT NULL,
	bone   INTEGER NOT NULL,
	linked TEXT    NOT NULL, -- the same on the other side; empty: none
	UNIQUE (runner, id)
) STRICT;

-- KEPT. Rows are added, never changed; the last one is the state.
CREATE TABLE complaint_step (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL,
	complaint TEXT    NOT NULL,
	day       INTEGER NOT NULL,
	status    TEXT    NOT NULL CHECK (status IN ('open', 'handed-over', 'closed')),
	why       TEXT    NOT NULL,
	who       TEXT    NOT NULL,
	at        INTEGER NOT NULL,
	FOREIGN KEY (runner, complaint) REFERENCES complaint (runner, id)
) STRICT;

CREATE INDEX complaint_step_of ON complaint_step (runner, seq);

-- KEPT. What a person says is usual of a complaint, from a day on.
CREATE TABLE complaint_base (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL,
	complaint TEXT    NOT NULL,
	from_day  INTEGER NOT NULL,
	pain      REAL, -- null: not said
	stiffness REAL,
	who       TEXT    NOT NULL,
	at        INTEGER NOT NULL,
	FOREIGN KEY (runner, complaint) REFERENCES complaint (runner, id)
) STRICT;

CREATE INDEX complaint_base_of ON complaint_base (runner, seq);

-- KEPT. What was said of a morning, entry by entry: of each part the last one that is
-- not null stands, and those before it stay.
CREATE TABLE morning (
	seq       INTEGER NOT NULL PRIMARY KEY,
	runner    TEXT    NOT NULL,
	complaint TEXT    NOT NULL,
	day       INTEGER NOT NULL, -- the waking date
	before    INTEGER,
	during    INTEGER,
	after     INTEGER,
	next      INTEGER,
	stiffness INTEGER,
	limp      INTEGER,
	entered   INTEGER NOT NULL, -- when it was typed
	who       TEXT    NOT NULL,
	FOREIGN KEY (runner, complaint) REFERENCES complaint (runner, id)
) STRICT;

CREATE INDEX morning_of ON morning (runner, seq);

PRAGMA user_version = 5;
