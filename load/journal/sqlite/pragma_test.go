package sqlite

import (
	"context"
	"database/sql"
	"path/filepath"
	"strings"
	"testing"
)

// TestPragmas reads back, on two connections of each pool, what the addresses
// ask for: the driver ignores a pragma that is misspelt.
func TestPragmas(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a b?#ü%20.db") // no character of a path is taken for syntax
	s, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	second, err := sql.Open("sqlite", writing(path))
	if err != nil {
		t.Fatal(err)
	}
	defer second.Close()

	both := map[string]string{"busy_timeout": "5000", "foreign_keys": "1", "journal_mode": "wal", "synchronous": "2"}
	writer := map[string]string{"query_only": "0", "cache_size": "-8192"}
	reader := map[string]string{"query_only": "1"}
	for name, conn := range map[string]*sql.Conn{
		"writer": connect(t, s.writer), "another writer": connect(t, second),
		"reader 1": connect(t, s.reader), "reader 2": connect(t, s.reader),
	} {
		own := writer
		if strings.HasPrefix(name, "reader") {
			own = reader
		}
		for _, want := range []map[string]string{both, own} {
			for pragma, value := range want {
				var got string
				if err := conn.QueryRowContext(t.Context(), "PRAGMA "+pragma).Scan(&got); err != nil || got != value {
					t.Errorf("%s: %s = %s, %v; want %s", name, pragma, got, err, value)
				}
			}
		}
	}
	if s.writer.Stats().MaxOpenConnections != 1 {
		t.Errorf("the writing pool has %d connections", s.writer.Stats().MaxOpenConnections)
	}
}

func connect(t *testing.T, db *sql.DB) *sql.Conn {
	t.Helper()
	conn, err := db.Conn(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	return conn
}
