// Package sqlite keeps a journal in one SQLite file: one connection that
// writes, a pool of connections that read, and numbered migrations.
//
// It also copies that file (Backup, Restore), because a copy must be made by
// the engine. It decides nothing about runners or rights.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"

	"tidemark/load/journal"
)

// Store is a journal.Store in a file.
type Store struct {
	path   string
	writer *sql.DB // one connection; nil in a store that only reads
	reader *sql.DB
	frozen os.FileInfo // set where the file is read as one that nobody changes
}

var _ journal.Store = (*Store)(nil)

// Path returns the absolute path of the file.
func (s *Store) Path() string { return s.path }

// Close closes the file. The write-ahead log is folded into it if no other
// program uses it.
func (s *Store) Close() error {
	err := s.reader.Close()
	// The writer goes last: only a connection that may write can fold the log.
	if s.writer != nil {
		err = errors.Join(err, s.writer.Close())
	}
	return mapError(err)
}

// View implements journal.Store.
func (s *Store) View(ctx context.Context, f func(journal.Tx) error) error {
	if err := s.checkFrozen(); err != nil {
		return err
	}
	return run(ctx, s.reader, &sql.TxOptions{ReadOnly: true}, f)
}

// Update implements journal.Store. It calls f once.
func (s *Store) Update(ctx context.Context, f func(journal.Tx) error) error {
	if s.writer == nil {
		return fmt.Errorf("write to %s: %w", s.path, journal.ErrReadOnly)
	}
	return run(ctx, s.writer, nil, f)
}

func run(ctx context.Context, db *sql.DB, opts *sql.TxOptions, f func(journal.Tx) error) error {
	dbtx, err := db.BeginTx(ctx, opts)
	if err != nil {
		return fmt.Errorf("begin transaction: %w", mapError(err))
	}
	t := &tx{ctx: ctx, tx: dbtx, prepared: make(map[string]*sql.Stmt)}
	// After a commit this does nothing; after an error or a panic in f it
	// undoes what f wrote.
	defer dbtx.Rollback()
	if err := f(t); err != nil {
		return ended(ctx, err)
	}
	if err := dbtx.Commit(); err != nil {
		return fmt.Errorf("commit: %w", mapError(ended(ctx, err)))
	}
	return nil
}

// ended says that ctx is why a transaction was found undone: when it ends, that is
// done behind our back, and database/sql has several words for it, not all of them
// errors that can be told.
func ended(ctx context.Context, err error) error {
	if ctx.Err() == nil || errors.Is(err, ctx.Err()) {
		return err
	}
	return fmt.Errorf("%w: %w", ctx.Err(), err)
}

// checkFrozen guards a file that is read without locks against somebody else
// who changes it after all.
func (s *Store) checkFrozen() error {
	if s.frozen == nil {
		return nil
	}
	now, err := os.Stat(s.path)
	if err != nil {
		return fmt.Errorf("read journal: %w", err)
	}
	if now.Size() != s.frozen.Size() || !now.ModTime().Equal(s.frozen.ModTime()) {
		return fmt.Errorf("read journal %s: it changed since it was opened: %w", s.path, journal.ErrConflict)
	}
	return nil
}
