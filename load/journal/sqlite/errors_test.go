package sqlite

import (
	"context"
	"errors"
	"testing"

	sqlite3 "modernc.org/sqlite/lib"

	"tidemark/load/journal"
)

func TestSentinelOf(t *testing.T) {
	for code, want := range map[int]error{
		sqlite3.SQLITE_CONSTRAINT_UNIQUE:     journal.ErrConflict,
		sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY: journal.ErrConflict,
		sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY: journal.ErrNotFound,
		sqlite3.SQLITE_CONSTRAINT_CHECK:      nil,
		sqlite3.SQLITE_CONSTRAINT_NOTNULL:    nil,
		sqlite3.SQLITE_FULL:                  journal.ErrFull,
		sqlite3.SQLITE_BUSY_SNAPSHOT:         journal.ErrBusy,
		sqlite3.SQLITE_READONLY_DIRECTORY:    journal.ErrReadOnly,
		sqlite3.SQLITE_NOTADB:                journal.ErrNotJournal,
		sqlite3.SQLITE_CORRUPT_INDEX:         journal.ErrDamaged,
		sqlite3.SQLITE_CANTOPEN:              nil,
	} {
		if got := sentinelOf(code); !errors.Is(got, want) {
			t.Errorf("code %d is %v, want %v", code, got, want)
		}
	}
	for _, err := range []error{nil, context.Canceled, errors.New("mine")} {
		if got := mapError(err); got != err {
			t.Errorf("mapError(%v) = %v", err, got)
		}
	}
}

// TestWhatTheSchemaRefuses writes what no journal should ever hand down.
func TestWhatTheSchemaRefuses(t *testing.T) {
	s := openTest(t)
	for name, f := range map[string]func(*tx) error{
		"a state that is none": func(tx *tx) error {
			return tx.PutState("a", journal.StateChange{Finding: "f", State: "fixed"})
		},
		"text for a number": func(tx *tx) error {
			_, err := tx.exec(`UPDATE runner SET revision = $1`, "many")
			return err
		},
		"a short sum": func(tx *tx) error {
			_, err := tx.exec(`INSERT INTO original (runner, sum, path, format, size, added)
				VALUES ('a', $1, '', '', 0, 0)`, []byte{1})
			return err
		},
	} {
		err := s.Update(t.Context(), func(t journal.Tx) error {
			if err := t.AddRunner(journal.Runner{ID: "a", Name: "a"}); err != nil {
				return nil // reported as not refused
			}
			return f(t.(*tx))
		})
		if err == nil {
			t.Errorf("%s was taken", name)
		}
	}
}
