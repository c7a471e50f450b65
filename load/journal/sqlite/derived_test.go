package sqlite

import (
	"path/filepath"
	"testing"
)

// What the digest leaves out are tables that there are, and every other one has a
// primary key, without which its rows have no order.
func TestDerivedTables(t *testing.T) {
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	count := func(query string, args ...any) (n int) {
		if err := s.reader.QueryRowContext(t.Context(), query, args...).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	for _, name := range derived {
		if count(`SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = $1`, name) != 1 {
			t.Errorf("no table is called %s", name)
		}
	}
	if n := count(`SELECT count(*) FROM sqlite_schema AS t WHERE type = 'table' AND name NOT LIKE 'sqlite_%' AND name <> 'migration'
		AND NOT EXISTS (SELECT 1 FROM pragma_table_info(t.name) WHERE pk > 0)`); n > 0 {
		t.Errorf("%d tables have no primary key", n)
	}
}
