package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tidemark/load/journal"
)

// Backup writes a consistent copy of the journal to a new file, also while
// others write. A file that is there is not touched: that is fs.ErrExist. The
// name appears only when the copy is complete and on the disk.
func (s *Store) Backup(ctx context.Context, path string) error {
	if err := s.checkFrozen(); err != nil {
		return fmt.Errorf("back up to %s: %w", path, err)
	}
	if err := copyTo(ctx, s.source(), path, nil); err != nil {
		return fmt.Errorf("back up to %s: %w", path, err)
	}
	return nil
}

// copyTo writes a compact copy of the database at address under a name. What
// has the name already is replaced if there is a function to make it ready for
// that, which is called when the copy is complete.
func copyTo(ctx context.Context, address, path string, ready func() error) error {
	if _, err := os.Lstat(path); err == nil && ready == nil {
		return fs.ErrExist
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".tidemark-*")
	if err != nil {
		return reason(err)
	}
	defer os.Remove(temp.Name())
	defer temp.Close()
	if err := vacuumInto(ctx, address, temp.Name()); err != nil {
		return err
	}
	// The engine wrote through its own descriptor; syncing is of the file.
	if err := temp.Sync(); err != nil {
		return err
	}
	if ready != nil {
		if err := ready(); err != nil {
			return err
		}
	}
	if err := place(temp.Name(), path, ready != nil); err != nil {
		return reasonLink(err)
	}
	return syncFolder(filepath.Dir(path))
}

func vacuumInto(ctx context.Context, address, path string) error {
	db, err := sql.Open("sqlite", address)
	if err != nil {
		return err
	}
	defer db.Close()
	conn, err := db.Conn(ctx)
	if err != nil {
		return mapError(err)
	}
	defer conn.Close()
	// The engine takes the copy for a write, although the source is only read.
	if _, err := conn.ExecContext(ctx, `PRAGMA query_only = 0`); err != nil {
		return mapError(err)
	}
	_, err = conn.ExecContext(ctx, `VACUUM INTO $1`, path)
	return mapError(err)
}

// place gives the file its name. A hard link, unlike a rename, never replaces;
// file systems without links are asked first.
func place(temp, path string, replace bool) error {
	if replace {
		return os.Rename(temp, path)
	}
	err := os.Link(temp, path)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return fs.ErrExist
	}
	return os.Rename(temp, path)
}

func reasonLink(err error) error {
	if e, ok := errors.AsType[*os.LinkError](err); ok {
		return e.Err
	}
	return err
}

func syncFolder(path string) error {
	dir, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(dir.Sync(), dir.Close())
}

// Restore puts the journal in a file in the place of another. The file must be
// a journal of a schema that this program knows, and sound. A journal that is
// there is replaced only if force is set, and never while a program has it
// open: that is journal.ErrBusy.
func Restore(ctx context.Context, from, to string, force bool) error {
	if err := restore(ctx, from, to, force); err != nil {
		return fmt.Errorf("restore %s to %s: %w", from, to, err)
	}
	return nil
}

func restore(ctx context.Context, from, to string, force bool) error {
	if same(from, to) {
		return errors.New("they are the same file")
	}
	if _, err := os.Lstat(to); err == nil && !force {
		return fs.ErrExist
	}
	from, err := filepath.Abs(from)
	if err != nil {
		return err
	}
	s, err := openSource(ctx, from)
	if err != nil {
		return err
	}
	defer s.Close()
	if err := sound(ctx, s); err != nil {
		return err
	}
	if force {
		return copyTo(ctx, s.source(), to, func() error { return settle(ctx, to) })
	}
	// A log without its journal belongs to nothing.
	if err := removeLog(to); err != nil {
		return err
	}
	return copyTo(ctx, s.source(), to, nil)
}

// openSource opens a journal of any schema up to this program's.
func openSource(ctx context.Context, path string) (*Store, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, reason(err)
	}
	empty, err := identify(ctx, path)
	if err != nil {
		return nil, explain(path, err)
	}
	if empty {
		return nil, fmt.Errorf("the file is empty: %w", journal.ErrNotJournal)
	}
	return openReader(ctx, path, 0)
}

// source returns the address for a connection that only reads.
func (s *Store) source() string {
	if s.frozen != nil {
		return frozen(s.path)
	}
	return readOnly(s.path)
}

func same(a, b string) bool {
	x, err := os.Stat(a)
	if err != nil {
		return false
	}
	y, err := os.Stat(b)
	return err == nil && os.SameFile(x, y)
}

func sound(ctx context.Context, s *Store) error {
	return s.View(ctx, func(t journal.Tx) error {
		lines, err := t.Integrity()
		if err == nil && len(lines) > 0 {
			err = fmt.Errorf("%s: %w", lines[0], journal.ErrDamaged)
		}
		return err
	})
}

// settle makes sure that nobody uses the file that is to be replaced, and takes
// away its log: the engine would take a log that was left for the new file's.
func settle(ctx context.Context, path string) error {
	if _, err := os.Stat(path); err == nil {
		if err := fold(ctx, path); errors.Is(err, journal.ErrBusy) {
			return err
		}
	}
	return removeLog(path)
}

func removeLog(path string) error {
	for _, suffix := range []string{"-wal", "-shm", "-journal"} {
		if err := os.Remove(path + suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// fold ends the log of a database, which needs it for itself alone. What is
// replaced may be damaged or something else; then there is no log to fold.
func fold(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", dsn(path, pragmas("busy_timeout(200)")))
	if err != nil {
		return err
	}
	defer db.Close()
	var mode string
	err = db.QueryRowContext(ctx, `PRAGMA journal_mode(DELETE)`).Scan(&mode)
	return mapError(err)
}
