package sqlite_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

func small(n int) journal.Recording {
	r := bulky(0)
	r.Sum = journal.Sum{byte(n), byte(n >> 8)}
	r.Size, r.Packed = 0, journal.Pack(nil)
	r.Sessions = []load.Session{{Start: load.Unix(int64(n)), End: load.Unix(int64(n))}}
	return r
}

func names(t *testing.T, dir string) (out []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	must(t, err)
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// TestBackupWhileWriting backs up again and again beside a writer that adds
// recordings in pairs: every copy holds whole pairs, and never fewer.
func TestBackupWhileWriting(t *testing.T) {
	dir := t.TempDir()
	s := open(t, filepath.Join(dir, "a.db"))
	_, err := newJournal(s).AddRunner(t.Context(), "Ada", "UTC", 0)
	must(t, err)
	b := book(t, s)
	done := make(chan struct{})
	var wait sync.WaitGroup
	wait.Go(func() {
		for n := 0; ; n += 2 {
			if _, err := b.Add(context.Background(), []journal.Recording{small(n), small(n + 1)}); err != nil {
				t.Error(err)
				return
			}
			select {
			case <-done:
				return
			default:
			}
		}
	})
	last := 0
	for i := range 5 {
		before := len(sessions(t, b))
		path := filepath.Join(dir, fmt.Sprintf("copy%d.db", i))
		must(t, s.Backup(t.Context(), path))
		copied := open(t, path)
		got := len(sessions(t, book(t, copied)))
		if got%2 != 0 || got < before || got < last {
			t.Errorf("copy %d holds %d sessions, the journal held %d before it", i, got, before)
		}
		last = got
		must(t, copied.Close())
	}
	close(done)
	wait.Wait()
	must(t, s.Close())
	want := []string{"a.db", "copy0.db", "copy1.db", "copy2.db", "copy3.db", "copy4.db"}
	if got := names(t, dir); !slices.Equal(got, want) {
		t.Errorf("files left: %v", got)
	}
	info, err := os.Stat(filepath.Join(dir, "copy0.db"))
	must(t, err)
	if info.Mode() != 0o600 {
		t.Errorf("a copy has mode %v", info.Mode())
	}
}

func TestBackupRefuses(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.db")
	s := open(t, path)
	addRunner(t, s, "a")
	must(t, os.WriteFile(filepath.Join(dir, "taken"), []byte("a letter"), 0o600))
	must(t, os.Symlink("nowhere", filepath.Join(dir, "link")))
	cancelled, cancel := context.WithCancel(t.Context())
	cancel()
	for _, c := range []struct {
		ctx  context.Context
		to   string
		want error
	}{
		{t.Context(), filepath.Join(dir, "taken"), fs.ErrExist},
		{t.Context(), filepath.Join(dir, "link"), fs.ErrExist},
		{t.Context(), path, fs.ErrExist},
		{t.Context(), filepath.Join(dir, "no", "copy.db"), fs.ErrNotExist},
		{cancelled, filepath.Join(dir, "copy.db"), context.Canceled},
	} {
		if err := s.Backup(c.ctx, c.to); !errors.Is(err, c.want) {
			t.Errorf("Backup to %s: %v, want %v", c.to, err, c.want)
		}
	}
	if b, err := os.ReadFile(filepath.Join(dir, "taken")); string(b) != "a letter" {
		t.Errorf("the file that was there: %q, %v", b, err)
	}
	must(t, s.Close())
	if got := names(t, dir); !slices.Equal(got, []string{"a.db", "link", "taken"}) {
		t.Errorf("files left: %v", got)
	}
}

// withRunners makes a journal, closes it and returns its path.
func withRunners(t *testing.T, ids ...journal.RunnerID) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.db")
	s := open(t, path)
	for _, id := range ids {
		addRunner(t, s, id)
	}
	must(t, s.Close())
	return path
}

func TestRestore(t *testing.T) {
	from := withRunners(t, "a", "b", "d") // no other journal here has three
	cases := []struct {
		name  string
		make  func(t *testing.T) string
		force bool
		want  error // nil: it is restored
	}{
		{"nothing there", func(t *testing.T) string { return filepath.Join(t.TempDir(), "b.db") }, false, nil},
		{"nothing there, forced", func(t *testing.T) string { return filepath.Join(t.TempDir(), "b.db") }, true, nil},
		{"a log without a journal", func(t *testing.T) string {
			path := withRunners(t, "c")
			leaveLog(t, open(t, path), path)
			must(t, os.Remove(path))
			return path
		}, false, nil},
		{"a journal", func(t *testing.T) string { return withRunners(t, "c") }, false, fs.ErrExist},
		{"a journal, forced", func(t *testing.T) string { return withRunners(t, "c") }, true, nil},
		{"a journal with a log, forced", func(t *testing.T) string {
			path := withRunners(t, "c")
			leaveLog(t, open(t, path), path)
			return path
		}, true, nil},
		{"a damaged journal with a log, forced", func(t *testing.T) string {
			path := withRunners(t, "c")
			leaveLog(t, open(t, path), path)
			must(t, os.WriteFile(path, []byte(strings.Repeat("damaged ", 9000)), 0o600))
			return path
		}, true, nil},
		{"a journal in use, forced", func(t *testing.T) string {
			path := withRunners(t, "c")
			countRunners(t, open(t, path))
			return path
		}, true, journal.ErrBusy},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			to := c.make(t)
			err := sqlite.Restore(t.Context(), from, to, c.force)
			if !errors.Is(err, c.want) {
				t.Fatalf("Restore: %v, want %v", err, c.want)
			}
			if n := countRunners(t, open(t, to)); (n == 3) != (c.want == nil) {
				t.Errorf("%d runners after it", n)
			}
			for _, name := range names(t, filepath.Dir(to)) {
				if strings.HasPrefix(name, ".") {
					t.Errorf("left behind: %s", name)
				}
			}
		})
	}
}

func TestRestoreRefusesTheSource(t *testing.T) {
	good := withRunners(t, "a")
	cases := []struct {
		name string
		make func(t *testing.T, path string)
		want error
	}{
		{"missing", func(*testing.T, string) {}, fs.ErrNotExist},
		{"empty", func(t *testing.T, path string) { must(t, os.WriteFile(path, nil, 0o600)) }, journal.ErrNotJournal},
		{"text", func(t *testing.T, path string) {
			must(t, os.WriteFile(path, []byte(strings.Repeat("text ", 9000)), 0o600))
		}, journal.ErrNotJournal},
		{"another program's", func(t *testing.T, path string) { database(t, path, "CREATE TABLE bird (n TEXT)") }, journal.ErrNotJournal},
		{"newer", func(t *testing.T, path string) {
			open(t, path).Close()
			database(t, path, fmt.Sprintf("PRAGMA user_version = %d", sqlite.Schema+1))
		}, journal.ErrNewer},
		{"damaged", damaged, journal.ErrDamaged},
		{"torn apart", func(t *testing.T, path string) { // every page is sound
			s := open(t, path)
			_, err := newJournal(s).AddRunner(t.Context(), "Ada", "UTC", 0)
			must(t, err)
			_, err = book(t, s).Add(t.Context(), []journal.Recording{small(1)})
			must(t, err)
			must(t, s.Close())
			database(t, path, "PRAGMA foreign_keys = 0", "DELETE FROM original")
		}, journal.ErrDamaged},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			from := filepath.Join(t.TempDir(), "from.db")
			c.make(t, from)
			if err := sqlite.Restore(t.Context(), from, good, true); !errors.Is(err, c.want) {
				t.Errorf("Restore: %v, want %v", err, c.want)
			}
			if n := countRunners(t, open(t, good)); n != 1 {
				t.Errorf("the journal that was there has %d runners", n)
			}
		})
	}
	if err := sqlite.Restore(t.Context(), good, good, true); err == nil {
		t.Error("a journal was restored over itself")
	}
}

// damaged makes a journal and overwrites the middle of it.
func damaged(t *testing.T, path string) {
	t.Helper()
	s := open(t, path)
	_, err := newJournal(s).AddRunner(t.Context(), "Ada", "UTC", 0)
	must(t, err)
	_, err = book(t, s).Add(t.Context(), []journal.Recording{bulky(1), small(2), small(3)})
	must(t, err)
	must(t, s.Close())
	b, err := os.ReadFile(path)
	must(t, err)
	const page = 4096
	for i := 2 * page; i < len(b); i += 3 * page {
		copy(b[i:], strings.Repeat("\xff", 600))
	}
	must(t, os.WriteFile(path, b, 0o600))
}
