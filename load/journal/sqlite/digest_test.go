package sqlite_test

import (
	"path/filepath"
	"testing"

	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// The digest is of rows: files of other pages and another order on the disk have
// the same one, and one byte of a kept file changes it.
func TestDigestOfAnotherLayout(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.db")
	s := open(t, path)
	_, err := newJournal(s).AddRunner(t.Context(), "Ada", "UTC", 0)
	must(t, err)
	_, err = book(t, s).Add(t.Context(), []journal.Recording{bulky(1), small(2), small(3)})
	must(t, err)
	want := digestOf(t, s)
	copied := filepath.Join(dir, "copy.db")
	must(t, s.Backup(t.Context(), copied))
	must(t, s.Close())
	for _, statements := range [][]string{
		{"PRAGMA journal_mode = DELETE", "PRAGMA page_size = 512", "VACUUM"},
		{
			"PRAGMA foreign_keys = 0", "CREATE TEMP TABLE o AS SELECT * FROM original", "DELETE FROM original",
			"INSERT INTO original SELECT * FROM o ORDER BY seq DESC", "PRAGMA foreign_keys = 1",
		},
	} {
		database(t, copied, statements...)
		if got := digestOf(t, open(t, copied)); got != want {
			t.Errorf("%q: digest %v, want %v", statements, got, want)
		}
	}
	database(t, copied, "UPDATE original_content SET packed = zeroblob(1) WHERE seq = 2")
	if got := digestOf(t, open(t, copied)); got == want {
		t.Error("another byte of a file left the digest as it was")
	}
}

func digestOf(t *testing.T, s *sqlite.Store) journal.Digest {
	t.Helper()
	d, err := newJournal(s).Digest(t.Context())
	must(t, err)
	return d
}
