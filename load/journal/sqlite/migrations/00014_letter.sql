-- +goose Up

-- KEPT. How a person wants to hear, in the evening, of what is new.
CREATE TABLE wish (
	person  TEXT    NOT NULL PRIMARY KEY REFERENCES account (id),
	address TEXT    NOT NULL, -- of letters; empty: none
	detail  INTEGER NOT NULL,
	hour    INTEGER NOT NULL CHECK (hour BETWEEN 0 AND 23),
	zone    TEXT    NOT NULL,
	stop    TEXT    NOT NULL, -- the secret that ends letters
	feed    TEXT    NOT NULL, -- hash of the secret of the feed's address
	heard   INTEGER NOT NULL, -- the last evening that was looked at
	tries   INTEGER NOT NULL, -- of the letter that waits
	next    INTEGER NOT NULL,
	fault   TEXT    NOT NULL,
	dropped INTEGER NOT NULL, -- the last evening of which the letter was given up

	asks         TEXT    NOT NULL, -- an address that is to be shown to be theirs
	code         TEXT    NOT NULL, -- that shows it
	asked        INTEGER NOT NULL,
	asking_tries INTEGER NOT NULL, -- of the letter with the code
	asking_next  INTEGER NOT NULL,
	asking_fault TEXT    NOT NULL,
	code_out     INTEGER NOT NULL, -- that letter was sent
	unmet        INTEGER NOT NULL  -- codes that have not come back
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX wish_stop ON wish (stop) WHERE stop <> '';
CREATE UNIQUE INDEX wish_feed ON wish (feed) WHERE feed <> '';

-- KEPT. Evenings on which there was something new to a person, for a month.
CREATE TABLE evening (
	id     TEXT    NOT NULL PRIMARY KEY,
	person TEXT    NOT NULL REFERENCES account (id),
	day    INTEGER NOT NULL,
	at     INTEGER NOT NULL,
	letter TEXT    NOT NULL CHECK (letter IN ('none', 'waits', 'sent', 'dropped'))
) STRICT, WITHOUT ROWID;

CREATE INDEX evening_person ON evening (person, at);
CREATE INDEX evening_day ON evening (day);

-- KEPT. What was new on an evening.
CREATE TABLE news (
	evening TEXT    NOT NULL REFERENCES evening (id),
	number  INTEGER NOT NULL, -- in the order in which it is told
	runner  TEXT    NOT NULL REFERENCES runner (id),
	key     TEXT    NOT NULL,
	kind    TEXT    NOT NULL,
	day     INTEGER NOT NULL,
	medical INTEGER NOT NULL,
	text    TEXT    NOT NULL,
	PRIMARY KEY (evening, number)
) STRICT, WITHOUT ROWID;

CREATE INDEX news_runner ON news (runner);

-- KEPT. What stood when a person last heard: it is not news.
CREATE TABLE told (
	person TEXT NOT NULL REFERENCES account (id),
	runner TEXT NOT NULL REFERENCES runner (id),
	key    TEXT NOT NULL,
	PRIMARY KEY (person, runner, key)
) STRICT, WITHOUT ROWID;

CREATE INDEX told_runner ON told (runner);

PRAGMA user_version = 14;
