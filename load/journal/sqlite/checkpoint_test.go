package sqlite_test

import (
	"os"
	"path/filepath"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// TestOpensAfterAKilledCheckpoint puts together what a kill leaves in the middle
// of folding the log in: the first page is new and tells of pages that the file
// does not have yet; they are all in the log.
func TestOpensAfterAKilledCheckpoint(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.db")
	s := open(t, path)
	j := journal.New(s, func() load.Instant { return 1 }, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	if _, err := j.AddRunner(t.Context(), "Edda", "UTC", 0); err != nil {
		t.Fatal(err)
	}
	before, log := read(t, path), read(t, path+"-wal")
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	after := read(t, path)
	if len(after) <= len(before) || len(log) == 0 {
		t.Fatalf("file of %d bytes, then %d, log of %d: nothing was left to fold in", len(before), len(after), len(log))
	}

	const page = 4096
	broken := filepath.Join(dir, "broken.db")
	write(t, broken, append(after[:page:page], before[page:]...))
	write(t, broken+"-wal", log)
	for _, o := range []sqlite.Options{{ReadOnly: true}, {}} {
		s, err := sqlite.Open(t.Context(), broken, o)
		if err != nil {
			t.Fatalf("%+v: %v", o, err)
		}
		j := journal.New(s, func() load.Instant { return 1 }, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
		if _, err := j.Find(t.Context(), journal.Local, "Edda"); err != nil {
			t.Errorf("%+v: %v", o, err)
		}
		if problems, err := j.Check(t.Context()); err != nil || len(problems) > 0 {
			t.Errorf("%+v: %v, %v", o, problems, err)
		}
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	}
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func write(t *testing.T, path string, b []byte) {
	t.Helper()
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
}
