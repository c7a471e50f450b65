-- +goose Up

-- Days are day numbers (1970-01-01 is 0), instants milliseconds since 1970 in
-- UTC, durations nanoseconds, lengths metres.

-- KEPT tables. Migrations carry their rows over.

CREATE TABLE runner (
	id        TEXT    NOT NULL PRIMARY KEY,
	name      TEXT    NOT NULL UNIQUE,
	home      TEXT    NOT NULL,
	first_use INTEGER NOT NULL,
	revision  INTEGER NOT NULL
) STRICT;

-- In order of arrival.
CREATE TABLE original (
	seq    INTEGER NOT NULL PRIMARY KEY,
	runner TEXT    NOT NULL REFERENCES runner (id),
	sum    BLOB    NOT NULL CHECK (length(sum) = 32),
	path   TEXT    NOT NULL,
	format TEXT    NOT NULL,
	size   INTEGER NOT NULL,
	added  INTEGER NOT NULL,
	UNIQUE (runner, sum)
) STRICT;

-- Apart from original, so that a listing reads no bytes.
CREATE TABLE original_content (
	seq    INTEGER NOT NULL PRIMARY KEY REFERENCES original (seq),
	packed BLOB    NOT NULL
) STRICT;

CREATE TABLE zone_decision (
	runner      TEXT    NOT NULL,
	session     TEXT    NOT NULL,
	sum         BLOB    NOT NULL,
	zone        TEXT    NOT NULL,
	zone_offset INTEGER NOT NULL,
	zone_source TEXT    NOT NULL,
	day         INTEGER NOT NULL,
	PRIMARY KEY (runner, session),
	FOREIGN KEY (runner, sum) REFERENCES original (runner, sum)
) STRICT, WITHOUT ROWID;

CREATE INDEX zone_decision_sum ON zone_decision (runner, sum);

CREATE TABLE rest (
	runner TEXT    NOT NULL,
	day    INTEGER NOT NULL,
	sum    BLOB    NOT NULL,
	PRIMARY KEY (runner, day),
	FOREIGN KEY (runner, sum) REFERENCES original (runner, sum)
) STRICT, WITHOUT ROWID;

-- Rows are added, never changed.
CREATE TABLE setting (
	seq      INTEGER NOT NULL PRIMARY KEY,
	runner   TEXT    NOT NULL REFERENCES runner (id),
	key      TEXT    NOT NULL,
	from_day INTEGER NOT NULL,
	value    TEXT    NOT NULL,
	who      TEXT    NOT NULL,
	at       INTEGER NOT NULL
) STRICT;

CREATE INDEX setting_runner ON setting (runner, seq);

-- Rows are added, never changed; the last one of a finding is its state.
CREATE TABLE finding_state (
	seq      INTEGER NOT NULL PRIMARY KEY,
	runner   TEXT    NOT NULL REFERENCES runner (id),
	finding  TEXT    NOT NULL,
	state    TEXT    NOT NULL CHECK (state IN ('open', 'seen', 'set-aside', 'closed', 'withdrawn')),
	who      TEXT    NOT NULL,
	why      TEXT    NOT NULL,
	reopened INTEGER NOT NULL,
	at       INTEGER NOT NULL
) STRICT;

CREATE INDEX finding_state_runner ON finding_state (runner, finding, seq);

-- DERIVED tables. Their rows follow from the kept ones and are rebuilt when the
-- versions in stamp or standing are not those of the program.

-- What the file says.
CREATE TABLE activity (
	runner      TEXT    NOT NULL,
	id          TEXT    NOT NULL,
	sum         BLOB    NOT NULL,
	sport       TEXT    NOT NULL,
	detail      TEXT    NOT NULL,
	surface     TEXT    NOT NULL,
	start_at    INTEGER NOT NULL,
	end_at      INTEGER NOT NULL,
	no_start    INTEGER NOT NULL,
	zone        TEXT    NOT NULL,
	zone_offset INTEGER NOT NULL,
	zone_source TEXT    NOT NULL,
	device      TEXT    NOT NULL,
	points      INTEGER NOT NULL,
	laps        INTEGER NOT NULL,
	positions   INTEGER NOT NULL,
	notes       TEXT    NOT NULL, -- JSON array
	PRIMARY KEY (runner, id),
	FOREIGN KEY (runner, sum) REFERENCES original (runner, sum)
) STRICT;

CREATE INDEX activity_sum ON activity (runner, sum);

-- What it asked of the runner. The table is clustered by runner and day, so
-- that a series over days reads neighbouring rows and no text. A measure that
-- is missing is NULL.
CREATE TABLE session (
	runner            TEXT    NOT NULL,
	day               INTEGER NOT NULL,
	start_at          INTEGER NOT NULL,
	id                TEXT    NOT NULL,
	sport             TEXT    NOT NULL,
	race              INTEGER NOT NULL,
	typed             INTEGER NOT NULL,
	elapsed           INTEGER NOT NULL,
	timer             INTEGER NOT NULL,
	moving            INTEGER NOT NULL,
	run_time          INTEGER NOT NULL,
	walk_time         INTEGER NOT NULL,
	distance          REAL    NOT NULL,
	distance_source   TEXT    NOT NULL,
	device_distance   REAL    NOT NULL,
	track_distance    REAL    NOT NULL,
	ascent            REAL,
	descent           REAL,
	heart_mean        INTEGER NOT NULL,
	heart_max         INTEGER NOT NULL,
	cadence_mean      REAL    NOT NULL,
	steps             INTEGER NOT NULL,
	steps_source      TEXT    NOT NULL,
	measure_distance  INTEGER, -- millimetres
	measure_time      INTEGER, -- milliseconds
	measure_exertion  INTEGER, -- thousandths of an arbitrary unit
	measure_steps     INTEGER,
	PRIMARY KEY (runner, day, start_at, id),
	UNIQUE (runner, id),
	FOREIGN KEY (runner, id) REFERENCES activity (runner, id)
) STRICT, WITHOUT ROWID;

-- What findings say. A migration must carry these rows over although they are
-- derived: those that are closed or withdrawn cannot all be found again.
CREATE TABLE finding (
	runner      TEXT    NOT NULL REFERENCES runner (id),
	id          TEXT    NOT NULL,
	rule        TEXT    NOT NULL,
	level       TEXT    NOT NULL,
	subject     TEXT    NOT NULL,
	day         INTEGER NOT NULL,
	last_day    INTEGER NOT NULL,
	value       REAL    NOT NULL,
	limit_value REAL    NOT NULL,
	unit        TEXT    NOT NULL,
	advice      TEXT    NOT NULL,
	evidence    TEXT    NOT NULL, -- JSON array
	PRIMARY KEY (runner, id)
) STRICT;

CREATE TABLE standing (
	runner           TEXT    NOT NULL PRIMARY KEY REFERENCES runner (id),
	revision         INTEGER NOT NULL,
	day              INTEGER NOT NULL,
	decoder          INTEGER NOT NULL,
	model            INTEGER NOT NULL,
	rules            INTEGER NOT NULL,
	week_distance    INTEGER NOT NULL, -- millimetres
	tidemark         INTEGER,          -- millimetres
	headroom_state   TEXT    NOT NULL,
	headroom_measure TEXT    NOT NULL,
	headroom_amount  INTEGER,
	headroom_decides TEXT    NOT NULL,
	worst            TEXT    NOT NULL,
	open_findings    INTEGER NOT NULL,
	last_record      INTEGER
) STRICT;

CREATE TABLE stamp (
	runner  TEXT    NOT NULL REFERENCES runner (id),
	part    TEXT    NOT NULL,
	decoder INTEGER NOT NULL,
	model   INTEGER NOT NULL,
	rules   INTEGER NOT NULL,
	PRIMARY KEY (runner, part)
) STRICT, WITHOUT ROWID;

-- The schema's version, for other programs and for older versions of this one.
-- Again, because the claim of an empty file may have been killed and rolled back.
PRAGMA application_id = 1953064037; -- "tide" in ASCII
PRAGMA user_version = 1;
