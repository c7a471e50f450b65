package sqlite_test

import (
	"path/filepath"
	"testing"

	"tidemark/load/journal"
	"tidemark/load/journal/journaltest"
	"tidemark/load/journal/sqlite"
)

func open(t *testing.T, path string) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(t.Context(), path, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestStore(t *testing.T) {
	journaltest.Run(t, func(t *testing.T) journal.Store { return open(t, filepath.Join(t.TempDir(), "a.db")) })
}
