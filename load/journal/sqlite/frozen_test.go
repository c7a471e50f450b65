package sqlite

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"tidemark/load/journal"
)

// TestFrozenFileThatChanges reads a file as one that nobody changes, as is done
// where there can be no log, and then changes it.
func TestFrozenFileThatChanges(t *testing.T) {
	writer := openTest(t)
	if err := writer.Close(); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(writer.Path())
	if err != nil {
		t.Fatal(err)
	}
	s := &Store{path: writer.Path(), frozen: info}
	if err := s.connect(t.Context(), frozen(s.path), Schema); err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	nothing := func(journal.Tx) error { return nil }
	if err := s.View(t.Context(), nothing); err != nil {
		t.Errorf("before it changes: %v", err)
	}
	if err := os.Truncate(s.path, info.Size()+4096); err != nil {
		t.Fatal(err)
	}
	if err := s.View(t.Context(), nothing); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("View after it changed: %v", err)
	}
	if err := s.Backup(t.Context(), filepath.Join(t.TempDir(), "copy")); !errors.Is(err, journal.ErrConflict) {
		t.Errorf("Backup after it changed: %v", err)
	}
}
