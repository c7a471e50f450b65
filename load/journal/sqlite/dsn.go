package sqlite

import (
	"net/url"
	"path/filepath"
)

// patience is how long a connection waits for another program. Project default.
const patience = "busy_timeout(5000)" // ms

// writerCache holds what a group of recordings writes until its commit: 50 of
// 60 kB took 0.32 s a thousand with it and 0.44 s with the engine's 2 MB.
// Page sizes of 4 (the engine's), 8 and 16 kB and longer logs made no
// difference, except that a longer log is folded in with a longer pause.
const writerCache = "cache_size(-8192)" // kB

// dsn returns the file's address for the driver. The pragmas keep their order.
func dsn(path string, params url.Values) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(path), RawQuery: params.Encode()}).String()
}

func pragmas(list ...string) url.Values {
	return url.Values{"_pragma": list}
}

// creating makes the first page of an empty file, before the log exists, so
// that the file says at once what it is.
func creating(path string) string {
	return dsn(path, pragmas(patience))
}

func writing(path string) string {
	params := pragmas(
		// First, so that switching to the log can wait for others.
		patience,
		"journal_mode(WAL)",
		"synchronous(FULL)",
		"foreign_keys(1)",
		writerCache)
	params.Set("_txlock", "immediate")
	return dsn(path, params)
}

func reading(path string) url.Values {
	return pragmas(
		patience,
		"foreign_keys(1)",
		"query_only(1)")
}

// readOnly reads a file that this process may not write to.
func readOnly(path string) string {
	params := reading(path)
	params.Set("mode", "ro")
	return dsn(path, params)
}

// frozen reads a file without locks and without its log. It is right only
// while nobody writes.
func frozen(path string) string {
	params := reading(path)
	params.Set("mode", "ro")
	params.Set("immutable", "1")
	return dsn(path, params)
}
