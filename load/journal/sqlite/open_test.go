package sqlite_test

import (
	"bytes"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// database makes a SQLite file with the statements.
func database(t *testing.T, path string, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(err)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	newer := fmt.Sprintf("PRAGMA user_version = %d", sqlite.Schema+1)
	cases := []struct {
		name string
		make func(t *testing.T, path string)
		want error  // to branch on; nil: none
		text string // to read
	}{
		{"folder", func(t *testing.T, path string) { must(t, os.Mkdir(path, 0o700)) }, nil, "it is a folder"},
		{"missing folder", func(t *testing.T, path string) { must(t, os.Remove(filepath.Dir(path))) }, fs.ErrNotExist, "folder "},
		{"text", func(t *testing.T, path string) {
			must(t, os.WriteFile(path, bytes.Repeat([]byte("a diary, "), 1000), 0o600))
		}, journal.ErrNotJournal, "not a journal"},
		{"a byte", func(t *testing.T, path string) {
			must(t, os.WriteFile(path, []byte("x"), 0o600))
		}, journal.ErrNotJournal, "not a journal"},
		{"two bytes", func(t *testing.T, path string) {
			must(t, os.WriteFile(path, []byte("xy"), 0o600))
		}, journal.ErrNotJournal, "not a journal"},
		{"another program's", func(t *testing.T, path string) {
			database(t, path, "CREATE TABLE bird (name TEXT)")
		}, journal.ErrNotJournal, "another program"},
		{"another program's, with a log", func(t *testing.T, path string) {
			database(t, path, "PRAGMA journal_mode = WAL", "CREATE TABLE bird (name TEXT)")
		}, journal.ErrNotJournal, "another program"},
		{"another program's, marked", func(t *testing.T, path string) {
			database(t, path, "PRAGMA application_id = 1")
		}, journal.ErrNotJournal, "another program"},
		{"newer", func(t *testing.T, path string) {
			open(t, path).Close()
			database(t, path, newer)
		}, journal.ErrNewer, "newer version"},
		{"newer, copied", func(t *testing.T, path string) {
			open(t, path).Close()
			database(t, path, newer, "PRAGMA journal_mode = DELETE")
		}, journal.ErrNewer, "newer version"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "in", "a.db")
			must(t, os.Mkdir(filepath.Dir(path), 0o700))
			c.make(t, path)
			before := listing(t, filepath.Dir(path))
			for _, o := range []sqlite.Options{{}, {ReadOnly: true}} {
				s, err := sqlite.Open(t.Context(), path, o)
				if err == nil {
					s.Close()
					t.Fatalf("%+v: it was opened", o)
				}
				if c.want != nil && !errors.Is(err, c.want) {
					t.Errorf("%+v: %v, want %v", o, err, c.want)
				}
				if !o.ReadOnly && !strings.Contains(err.Error(), c.text) {
					t.Errorf("%+v: %q does not say %q", o, err, c.text)
				}
			}
			if after := listing(t, filepath.Dir(path)); after != before {
				t.Errorf("the folder changed from %s to %s", before, after)
			}
		})
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// listing returns names and contents of a folder's files.
func listing(t *testing.T, dir string) string {
	t.Helper()
	var out strings.Builder
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, _ := os.ReadFile(filepath.Join(dir, e.Name())) // a folder has none
		fmt.Fprintf(&out, "%s %x\n", e.Name(), b)
	}
	return out.String()
}

func TestOpenMakesAPrivateFile(t *testing.T) {
	for name, prepare := range map[string]func(path string) error{
		"missing": func(string) error { return nil },
		"empty":   func(path string) error { return os.WriteFile(path, nil, 0o600) },
	} {
		path := filepath.Join(t.TempDir(), "a.db")
		must(t, prepare(path))
		open(t, path)
		for _, suffix := range []string{"", "-wal"} {
			info, err := os.Stat(path + suffix)
			must(t, err)
			if info.Mode() != 0o600 {
				t.Errorf("%s: %s has mode %v", name, suffix, info.Mode())
			}
		}
	}
}

func TestOpenReadOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	if _, err := sqlite.Open(t.Context(), path, sqlite.Options{ReadOnly: true}); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a missing file: %v", err)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("reading made a file")
	}
	must(t, os.WriteFile(path, nil, 0o600))
	if _, err := sqlite.Open(t.Context(), path, sqlite.Options{ReadOnly: true}); !errors.Is(err, journal.ErrNotJournal) {
		t.Errorf("an empty file: %v", err)
	}

	writer := open(t, path)
	addRunner(t, writer, "a")
	reader, err := sqlite.Open(t.Context(), path, sqlite.Options{ReadOnly: true})
	must(t, err)
	defer reader.Close()
	addRunner(t, writer, "b")
	if n := countRunners(t, reader); n != 2 {
		t.Errorf("the reader sees %d runners beside the writer", n)
	}
	err = reader.Update(t.Context(), func(journal.Tx) error { return nil })
	if !errors.Is(err, journal.ErrReadOnly) {
		t.Errorf("Update: %v", err)
	}
}

func addRunner(t *testing.T, s journal.Store, id journal.RunnerID) {
	t.Helper()
	must(t, s.Update(t.Context(), func(tx journal.Tx) error {
		return tx.AddRunner(journal.Runner{ID: id, Name: string(id), Home: "UTC", Revision: 1})
	}))
}

func countRunners(t *testing.T, s journal.Store) (n int) {
	t.Helper()
	must(t, s.View(t.Context(), func(tx journal.Tx) error {
		all, err := tx.Runners()
		n = len(all)
		return err
	}))
	return n
}
