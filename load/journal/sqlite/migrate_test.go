package sqlite

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"tidemark/load/journal"
)

func openTest(t *testing.T) *Store {
	t.Helper()
	s, err := Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func column(t *testing.T, s *Store, query string, args ...any) (out []string) {
	t.Helper()
	rows, err := s.reader.QueryContext(t.Context(), query, args...)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	for rows.Next() {
		var v string
		if err := rows.Scan(&v); err != nil {
			t.Fatal(err)
		}
		out = append(out, v)
	}
	if err := rows.Err(); err != nil {
		t.Fatal(err)
	}
	return out
}

func TestMigrateFromEmpty(t *testing.T) {
	s := openTest(t)
	files, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil || len(files) != Schema {
		t.Errorf("%d migrations, %v; the program's schema is %d", len(files), err, Schema)
	}
	for i, f := range files {
		if !strings.HasPrefix(filepath.Base(f), fmt.Sprintf("%05d_", i+1)) {
			t.Errorf("migration %d is %s", i+1, f)
		}
	}
	for name, want := range map[string]int64{"user_version": Schema, "application_id": 0x74696465} {
		if got, err := pragma(t.Context(), s.reader, name); got != want || err != nil {
			t.Errorf("%s = %d, %v; want %d", name, got, err, want)
		}
	}
}

func TestTablesAreStrict(t *testing.T) {
	s := openTest(t)
	// The table of the migrations is goose's own.
	loose := column(t, s, `SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table'
		AND strict = 0 AND name NOT LIKE 'sqlite_%' AND name <> 'migration'`)
	if len(loose) > 0 {
		t.Errorf("not STRICT: %v", loose)
	}
	if all := column(t, s, `SELECT name FROM pragma_table_list WHERE schema = 'main' AND strict = 1`); len(all) < 10 {
		t.Errorf("only %v are STRICT", all)
	}
}

// TestQueryPlans sees that what is read often is found, not searched for.
func TestQueryPlans(t *testing.T) {
	s := openTest(t)
	for name, query := range map[string]string{
		"series":     `SELECT day, start_at, measure_distance FROM session WHERE runner = '' AND day BETWEEN 1 AND 2 ORDER BY day`,
		"sessions":   selectSession,
		"one":        selectSession + ` AND s.id = ''`,
		"recording":  selectSession + ` AND a.sum = x'00'`,
		"originals":  `SELECT ` + originalColumns + ` FROM original o WHERE o.runner = ''`,
		"zones":      `SELECT ` + zoneColumns + ` FROM zone_decision WHERE runner = '' AND sum = x'00'`,
		"edits of":   selectEditsOf,
		"sum of":     selectSumOf,
		"drop":       dropSessionsOf,
		"drop more":  dropActivitiesOf,
		"last state": `SELECT max(seq) FROM finding_state WHERE runner = '' AND finding = ''`,
	} {
		rows, err := s.reader.QueryContext(t.Context(), "EXPLAIN QUERY PLAN "+strings.NewReplacer("$1", "''", "$2", "''").Replace(query))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		steps := 0
		for rows.Next() {
			var id, parent, unused int
			var detail string
			if err := rows.Scan(&id, &parent, &unused, &detail); err != nil {
				t.Fatal(err)
			}
			steps++
			if strings.HasPrefix(detail, "SCAN") || strings.Contains(detail, "TEMP B-TREE") {
				t.Errorf("%s: %s", name, detail)
			}
		}
		if err := rows.Err(); err != nil || steps == 0 {
			t.Errorf("%s: %d steps, %v", name, steps, err)
		}
		rows.Close()
	}
}

func TestFirstOpenAtOnce(t *testing.T) {
	for range 5 {
		path := filepath.Join(t.TempDir(), "a.db")
		var wait sync.WaitGroup
		for i := range 4 {
			wait.Go(func() {
				s, err := Open(t.Context(), path, Options{})
				if err != nil {
					t.Error(err)
					return
				}
				defer s.Close()
				id := journal.RunnerID(fmt.Sprint(i))
				err = s.Update(t.Context(), func(tx journal.Tx) error {
					return tx.AddRunner(journal.Runner{ID: id, Name: string(id)})
				})
				if err != nil {
					t.Error(err)
				}
			})
		}
		wait.Wait()
	}
}

// TestNewerInTheLog has a version that the file's first page does not tell yet.
func TestNewerInTheLog(t *testing.T) {
	s := openTest(t)
	if _, err := s.writer.ExecContext(t.Context(), fmt.Sprintf("PRAGMA user_version = %d", Schema+1)); err != nil {
		t.Fatal(err)
	}
	for _, o := range []Options{{}, {ReadOnly: true}} {
		other, err := Open(t.Context(), s.Path(), o)
		if err == nil {
			other.Close()
		}
		if !errors.Is(err, journal.ErrNewer) {
			t.Errorf("%+v: %v", o, err)
		}
	}
}
