-- +goose Up

-- KEPT. Who signs in. What keeps others out is replaced, and has no history.
CREATE TABLE account (
	id          TEXT    NOT NULL PRIMARY KEY,
	name        TEXT    NOT NULL,
	folded      TEXT    NOT NULL UNIQUE, -- the name without case
	host        INTEGER NOT NULL,
	password    TEXT    NOT NULL, -- an argon2id hash
	second      TEXT    NOT NULL, -- the key of one-time codes; empty: none
	second_used INTEGER NOT NULL, -- the time step of the last code
	closed      INTEGER NOT NULL,
	made        INTEGER NOT NULL
) STRICT;

-- KEPT. Browsers that are signed in, by the hash of their secret.
CREATE TABLE sign_in (
	hash   TEXT    NOT NULL PRIMARY KEY,
	person TEXT    NOT NULL REFERENCES account (id),
	made   INTEGER NOT NULL,
	seen   INTEGER NOT NULL,
	until  INTEGER NOT NULL
) STRICT;

CREATE INDEX sign_in_person ON sign_in (person);

-- KEPT. What a person may do with a runner's logbook. Rows are added, never changed; the
-- last of a runner and a person stands.
CREATE TABLE granted (
	seq     INTEGER NOT NULL PRIMARY KEY,
	runner  TEXT    NOT NULL REFERENCES runner (id),
	person  TEXT    NOT NULL REFERENCES account (id),
	role    TEXT    NOT NULL CHECK (role IN ('runner', 'guardian', 'coach', 'clinician')),
	medical INTEGER NOT NULL,
	plan    INTEGER NOT NULL,
	revoked INTEGER NOT NULL,
	who     TEXT    NOT NULL,
	at      INTEGER NOT NULL
) STRICT;

CREATE INDEX granted_runner ON granted (runner, seq);
CREATE INDEX granted_person ON granted (person, runner, seq);

-- KEPT. Links that let somebody in once, by the hash of their secret.
CREATE TABLE invitation (
	seq      INTEGER NOT NULL PRIMARY KEY,
	hash     TEXT    NOT NULL UNIQUE,
	kind     TEXT    NOT NULL CHECK (kind IN ('host', 'runner', 'care', 'reset', 'enter')),
	runner   TEXT    REFERENCES runner (id),
	role     TEXT    NOT NULL,
	medical  INTEGER NOT NULL,
	plan     INTEGER NOT NULL,
	person   TEXT    REFERENCES account (id), -- of reset and enter
	name     TEXT    NOT NULL,
	home     TEXT    NOT NULL,
	who      TEXT    NOT NULL,
	at       INTEGER NOT NULL,
	until    INTEGER NOT NULL,
	taken_by TEXT    NOT NULL, -- empty: by nobody yet
	taken    INTEGER NOT NULL,
	revoked  INTEGER NOT NULL
) STRICT;

CREATE INDEX invitation_runner ON invitation (runner, seq);

-- KEPT. Who looked at a runner's logbook, other than its owner. Rows are added, never changed.
CREATE TABLE look (
	seq    INTEGER NOT NULL PRIMARY KEY,
	runner TEXT    NOT NULL REFERENCES runner (id),
	person TEXT    NOT NULL REFERENCES account (id),
	what   TEXT    NOT NULL,
	at     INTEGER NOT NULL
) STRICT;

CREATE INDEX look_runner ON look (runner, seq);
CREATE INDEX look_last ON look (runner, person, what, seq);

-- KEPT. What programs sign in with, by the hash of their secret.
CREATE TABLE token (
	seq     INTEGER NOT NULL PRIMARY KEY,
	hash    TEXT    NOT NULL UNIQUE,
	person  TEXT    NOT NULL REFERENCES account (id),
	name    TEXT    NOT NULL,
	scope   TEXT    NOT NULL CHECK (scope IN ('read', 'write')),
	made    INTEGER NOT NULL,
	until   INTEGER NOT NULL,
	used    INTEGER NOT NULL, -- last; 0: never
	revoked INTEGER NOT NULL
) STRICT;

CREATE INDEX token_person ON token (person, seq);

-- KEPT. Logbooks that are to be deleted, each once its time has come.
CREATE TABLE removal (
	runner TEXT    NOT NULL PRIMARY KEY REFERENCES runner (id),
	due    INTEGER NOT NULL,
	who    TEXT    NOT NULL,
	at     INTEGER NOT NULL
) STRICT;

PRAGMA user_version = 11;
