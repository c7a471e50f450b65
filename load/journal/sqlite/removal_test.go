package sqlite

import (
	"path/filepath"
	"slices"
	"testing"
)

// TestEveryTableOfARunner: a table about runners that is new in the schema is not left
// behind when a logbook is deleted.
func TestEveryTableOfARunner(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "journal.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	rows, err := s.reader.QueryContext(t.Context(), `SELECT m.name FROM sqlite_schema m, pragma_table_info(m.name) c WHERE m.type = 'table' AND c.name = 'runner'`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var found []string
	for rows.Next() {
		var name string
		if err := rows.Scan(&name); err != nil {
			t.Fatal(err)
		}
		found = append(found, name)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	listed := slices.Sorted(slices.Values(ofRunner))
	slices.Sort(found)
	if !slices.Equal(found, listed) {
		t.Errorf("tables with a runner: %v\nlisted for deletion: %v", found, listed)
	}
}
