-- +goose Up

-- KEPT. Rows are added, never changed; the last one of a session and field
-- holds. A session is derived and may be gone, so it is no reference.
CREATE TABLE edit (
	seq     INTEGER NOT NULL PRIMARY KEY,
	runner  TEXT    NOT NULL REFERENCES runner (id),
	session TEXT    NOT NULL,
	field   TEXT    NOT NULL,
	value   TEXT    NOT NULL, -- empty: taken back
	who     TEXT    NOT NULL,
	at      INTEGER NOT NULL
) STRICT;

CREATE INDEX edit_session ON edit (runner, session, seq);

-- No session was excluded before, so the derived rows stay right.
ALTER TABLE session ADD COLUMN excluded INTEGER NOT NULL DEFAULT 0;

PRAGMA user_version = 2;
