package sqlite

import (
	"database/sql"
	"fmt"
)

// Integrity asks the engine for damaged pages and references into nothing.
func (t *tx) Integrity() ([]string, error) {
	lines, err := all(t, scanString, `PRAGMA integrity_check`)
	if err != nil {
		return nil, err
	}
	if len(lines) == 1 && lines[0] == "ok" {
		lines = nil
	}
	scan := func(row scanner) (string, error) {
		var table, parent string
		var rowid sql.Null[int64]
		var key int
		err := row.Scan(&table, &rowid, &parent, &key)
		return fmt.Sprintf("a row of %s refers to a row of %s that is not there", table, parent), err
	}
	orphans, err := all(t, scan, `PRAGMA foreign_key_check`)
	return append(lines, orphans...), err
}
