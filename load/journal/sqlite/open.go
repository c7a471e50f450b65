package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	sqlite3 "modernc.org/sqlite/lib"

	"tidemark/load/journal"
)

// Options say how a journal is opened. The zero value reads and writes, and
// makes the file if it is not there.
type Options struct {
	ReadOnly bool // the file must be there and is not changed
}

// Open opens the journal in a file of an existing folder. A file that is
// something else is journal.ErrNotJournal, one of a later schema
// journal.ErrNewer; neither is touched. One of an earlier schema is brought up to
// date, or is journal.ErrOlder if it is opened ReadOnly. A file or folder that may
// not be written to is journal.ErrReadOnly unless it is opened ReadOnly.
//
// A new file can be read by its owner only.
func Open(ctx context.Context, path string, o Options) (*Store, error) {
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("open journal: %w", err)
	}
	s, err := openPatiently(ctx, abs, o)
	if err != nil {
		return nil, fmt.Errorf("open journal %s: %w", path, err)
	}
	return s, nil
}

// openPatiently tries again while others make the same journal: the switch to
// the log does not wait for them as everything else does.
func openPatiently(ctx context.Context, path string, o Options) (*Store, error) {
	for began := time.Now(); ; {
		s, err := open(ctx, path, o)
		if !errors.Is(err, journal.ErrBusy) || time.Since(began) > openingTime {
			return s, err
		}
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case <-time.After(openingTime / 200):
		}
	}
}

// openingTime is how long Open goes on trying. Project default.
const openingTime = 5 * time.Second

func open(ctx context.Context, path string, o Options) (*Store, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && !o.ReadOnly:
		if err := create(path); err != nil {
			return nil, err
		}
	case err != nil:
		return nil, reason(err)
	case info.IsDir():
		return nil, errors.New("it is a folder")
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("it is no file: %w", journal.ErrNotJournal)
	case info.Size() == 1: // which the engine takes for an empty file
		return nil, fmt.Errorf("one byte: %w", journal.ErrNotJournal)
	}
	empty, err := identify(ctx, path)
	switch {
	case err != nil:
		return nil, explain(path, err)
	case o.ReadOnly && empty:
		return nil, fmt.Errorf("the file is empty: %w", journal.ErrNotJournal)
	case o.ReadOnly:
		return openReader(ctx, path, Schema)
	case empty:
		if err := claim(ctx, path); err != nil {
			return nil, explain(path, err)
		}
	}
	return openWriter(ctx, path)
}

// reason drops the path that the caller names anyway.
func reason(err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err
	}
	return err
}

func create(path string) error {
	if _, err := os.Stat(filepath.Dir(path)); err != nil {
		return fmt.Errorf("folder %s: %w", filepath.Dir(path), reason(err))
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return nil // somebody else is making it
	}
	if err != nil {
		return fmt.Errorf("make the file: %w", reason(err))
	}
	return f.Close()
}

// identify tells a journal by the first page, without locks and without making
// a file beside it. The page goes through the engine because closing a file of
// one's own would drop the engine's locks.
//
// Where a program was killed while it folded its log in, the file alone makes no
// sense; then it is read together with the log.
func identify(ctx context.Context, path string) (empty bool, err error) {
	empty, err = identifyAt(ctx, frozen(path))
	if !hasCode(err, sqlite3.SQLITE_CORRUPT) {
		return empty, err
	}
	if log, statErr := os.Stat(path + "-wal"); statErr != nil || log.Size() == 0 {
		return false, err
	}
	return identifyAt(ctx, readOnly(path))
}

// identifyAt reads what identify needs. An empty database is nobody's yet.
func identifyAt(ctx context.Context, address string) (empty bool, err error) {
	db, err := sql.Open("sqlite", address)
	if err != nil {
		return false, err
	}
	defer db.Close()
	id, err := pragma(ctx, db, "application_id")
	if err != nil {
		return false, err
	}
	version, err := pragma(ctx, db, "user_version")
	if err != nil {
		return false, err
	}
	var objects int
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema`).Scan(&objects); err != nil {
		return false, mapError(err)
	}
	switch {
	case id == 0 && version == 0 && objects == 0:
		return true, nil
	case id != applicationID:
		return false, fmt.Errorf("a database of another program: %w", journal.ErrNotJournal)
	case version > Schema:
		return false, newer(version)
	}
	return false, nil
}

// claim marks an empty file as a journal.
func claim(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", creating(path))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(ctx, fmt.Sprintf("PRAGMA application_id = %d", applicationID))
	return mapError(err)
}

func openWriter(ctx context.Context, path string) (s *Store, err error) {
	s = &Store{path: path}
	if s.writer, err = sql.Open("sqlite", writing(path)); err != nil {
		return nil, err
	}
	s.writer.SetMaxOpenConns(1)
	if s.reader, err = sql.Open("sqlite", dsn(path, reading(path))); err != nil {
		return nil, err
	}
	limit(s.reader)
	err = migrate(ctx, s.writer)
	if err == nil {
		err = s.tryWriting(ctx)
	}
	if err != nil {
		s.Close()
		return nil, explain(path, err)
	}
	return s, nil
}

// tryWriting fails where the file may only be read. The engine opens such a file
// and begins transactions on it all the same, so it is asked to write a row that
// is not there.
func (s *Store) tryWriting(ctx context.Context) error {
	return s.Update(ctx, func(t journal.Tx) error {
		_, err := t.(*tx).exec(`UPDATE runner SET revision = revision WHERE id = $1`, "")
		return err
	})
}

// openReader reads through the log if it can. Where neither the file nor its
// folder may be written to there is no log to be had: then the file is read as
// it is, if no log is left beside it.
func openReader(ctx context.Context, path string, oldest int64) (*Store, error) {
	s := &Store{path: path}
	err := s.connect(ctx, readOnly(path), oldest)
	switch {
	case err == nil:
		return s, nil
	case !hasCode(err, sqlite3.SQLITE_CANTOPEN) && !hasCode(err, sqlite3.SQLITE_READONLY):
		return nil, err
	}
	if log, statErr := os.Stat(path + "-wal"); statErr == nil && log.Size() > 0 {
		return nil, fmt.Errorf("its folder may not be written to, and the log beside it was not folded in: %w", explain(path, err))
	}
	if s.frozen, err = os.Stat(path); err != nil {
		return nil, reason(err)
	}
	if err := s.connect(ctx, frozen(path), oldest); err != nil {
		return nil, explain(path, err)
	}
	return s, nil
}

func (s *Store) connect(ctx context.Context, address string, oldest int64) (err error) {
	if s.reader, err = sql.Open("sqlite", address); err != nil {
		return err
	}
	limit(s.reader)
	version, err := pragma(ctx, s.reader, "user_version")
	switch {
	case err != nil:
	case version > Schema:
		err = newer(version)
	case version < oldest:
		err = fmt.Errorf("schema %d, this program reads %d: %w", version, oldest, journal.ErrOlder)
	default:
		return nil
	}
	s.reader.Close()
	return err
}

// limit caps a reading pool: more readers than processors are slower.
func limit(db *sql.DB) {
	n := runtime.NumCPU()
	db.SetMaxOpenConns(n)
	db.SetMaxIdleConns(n)
}

// explain says what the engine's "unable to open" means.
func explain(path string, err error) error {
	if !hasCode(err, sqlite3.SQLITE_CANTOPEN) && !errors.Is(err, journal.ErrReadOnly) {
		return err
	}
	f, openErr := os.Open(path)
	if openErr != nil {
		return reason(openErr)
	}
	f.Close()
	if f, openErr = os.OpenFile(path, os.O_RDWR, 0); openErr != nil {
		return fmt.Errorf("%w: the file: %w", journal.ErrReadOnly, reason(openErr))
	}
	f.Close()
	probe, openErr := os.CreateTemp(filepath.Dir(path), ".tidemark-*")
	if openErr != nil {
		return fmt.Errorf("%w: its folder: %w", journal.ErrReadOnly, reason(openErr))
	}
	probe.Close()
	return errors.Join(err, os.Remove(probe.Name()))
}
