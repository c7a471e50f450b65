package sqlite

import (
	"context"
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"tidemark/load/journal"
)

// mapError turns the driver's codes into the sentinels of package journal and
// keeps the driver's text. It is the only place that knows the codes.
func mapError(err error) error {
	driver, ok := errors.AsType[*sqlite.Error](err)
	if !ok || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	if sentinel := sentinelOf(driver.Code()); sentinel != nil {
		return fmt.Errorf("%w: %w", sentinel, err)
	}
	return err
}

func sentinelOf(code int) error {
	switch code {
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY:
		return journal.ErrConflict
	case sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
		return journal.ErrNotFound
	case sqlite3.SQLITE_IOERR_SHMSIZE: // no room for the index of the log
		return journal.ErrFull
	}
	switch code & 0xff {
	case sqlite3.SQLITE_FULL:
		return journal.ErrFull
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return journal.ErrBusy
	case sqlite3.SQLITE_READONLY:
		return journal.ErrReadOnly
	case sqlite3.SQLITE_NOTADB:
		return journal.ErrNotJournal
	case sqlite3.SQLITE_CORRUPT:
		return journal.ErrDamaged
	}
	return nil
}

func hasCode(err error, primary int) bool {
	driver, ok := errors.AsType[*sqlite.Error](err)
	return ok && driver.Code()&0xff == primary
}
