-- +goose Up

-- DERIVED. How a runner stands, in one row: what lists over runners show.
DROP TABLE standing;

CREATE TABLE standing (
	runner           TEXT    NOT NULL PRIMARY KEY REFERENCES runner (id),
	revision         INTEGER NOT NULL,
	day              INTEGER NOT NULL,
	decoder          INTEGER NOT NULL,
	model            INTEGER NOT NULL,
	rules            INTEGER NOT NULL,
	week_distance    INTEGER NOT NULL, -- millimetres
	week_before      INTEGER,          -- millimetres; NULL: there was no whole week
	tidemark         INTEGER,          -- millimetres
	spike            REAL,             -- share, of the last seven days
	spike_day        INTEGER,
	last_record      INTEGER,
	race_day         INTEGER,
	race_name        TEXT    NOT NULL,
	seen_whole       TEXT    NOT NULL, -- JSON: with leave for medical detail
	seen_bare        TEXT    NOT NULL, -- JSON: without
	cases            TEXT    NOT NULL  -- JSON: what is followed
) STRICT;

-- KEPT. What somebody last saw of a runner in a list.
CREATE TABLE glance (
	person TEXT    NOT NULL,
	runner TEXT    NOT NULL REFERENCES runner (id),
	list   TEXT    NOT NULL CHECK (list IN ('squad', 'caseload')),
	at     INTEGER NOT NULL,
	saw    TEXT    NOT NULL, -- JSON
	PRIMARY KEY (person, runner, list)
) STRICT, WITHOUT ROWID;

CREATE INDEX glance_runner ON glance (runner);

-- KEPT. What somebody wrote to a runner, or of a visit. Rows are added, never changed.
CREATE TABLE note (
	seq    INTEGER NOT NULL PRIMARY KEY,
	runner TEXT    NOT NULL REFERENCES runner (id),
	kind   TEXT    NOT NULL CHECK (kind IN ('to-runner', 'visit')),
	day    INTEGER NOT NULL,
	next   INTEGER, -- day of the next visit
	text   TEXT    NOT NULL,
	who    TEXT    NOT NULL,
	at     INTEGER NOT NULL
) STRICT;

CREATE INDEX note_runner ON note (runner, seq);

-- KEPT. The groups that somebody sorts runners into; the last row of a person and a runner stands.
CREATE TABLE squad_group (
	person TEXT NOT NULL,
	runner TEXT NOT NULL REFERENCES runner (id),
	name   TEXT NOT NULL,
	PRIMARY KEY (person, runner)
) STRICT, WITHOUT ROWID;

CREATE INDEX squad_group_runner ON squad_group (runner);

PRAGMA user_version = 12;
