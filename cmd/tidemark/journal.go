package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// path returns the file of the journal.
func (a *app) path() (string, error) {
	switch {
	case strings.HasPrefix(a.DB, "postgres://"), strings.HasPrefix(a.DB, "postgresql://"):
		return "", &failure{exitUse, errors.New("this version keeps journals in files only, not in PostgreSQL"), "give a file: --db tidemark.db"}
	case a.DB != "":
		return a.DB, nil
	}
	folder, err := dataFolder(a.env)
	if err != nil {
		return "", &failure{exitUse, err, "give a file: --db tidemark.db"}
	}
	return filepath.Join(folder, "tidemark", "tidemark.db"), nil
}

// dataFolder returns where a user's programs keep data: on Unix by the XDG base
// directory specification.
func dataFolder(env func(string) string) (string, error) {
	if dir := env("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return dir, nil
	}
	if dir := env("LocalAppData"); runtime.GOOS == "windows" && dir != "" {
		return dir, nil
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "", fmt.Errorf("find the data folder: %w", err)
	}
	if runtime.GOOS == "darwin" {
		return filepath.Join(home, "Library", "Application Support"), nil
	}
	return filepath.Join(home, ".local", "share"), nil
}

// opened is an open journal, to be closed.
type opened struct {
	*journal.Journal
	store *sqlite.Store
}

func (o *opened) Close() error { return o.store.Close() }

// open opens the journal that is there. Only for writing is a missing one made.
func (a *app) open(write bool) (*opened, error) {
	path, err := a.path()
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		if !write {
			return nil, &failure{exitJournal, fmt.Errorf("open journal %s: there is none", path), "tidemark import FOLDER makes one"}
		}
		if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
			return nil, &failure{exitJournal, fmt.Errorf("open journal: %w", err), ""}
		}
	}
	store, err := sqlite.Open(a.ctx, path, sqlite.Options{ReadOnly: !write})
	if errors.Is(err, journal.ErrOlder) {
		store, err = a.upgrade(path)
	}
	if err != nil {
		return nil, a.journalFailure(err)
	}
	clock := func() load.Instant { return load.InstantOf(a.now()) }
	return &opened{journal.New(store, clock, versions), store}, nil
}

// upgrade opens a journal for reading that only writing brings up to date.
func (a *app) upgrade(path string) (*sqlite.Store, error) {
	store, err := sqlite.Open(a.ctx, path, sqlite.Options{})
	if err != nil {
		return nil, fmt.Errorf("bring the journal up to date: %w", err)
	}
	if err := store.Close(); err != nil {
		return nil, fmt.Errorf("bring the journal up to date: %w", err)
	}
	return sqlite.Open(a.ctx, path, sqlite.Options{ReadOnly: true})
}

// versions stamps what is derived.
var versions = journal.Versions{Decoder: ingest.Version, Model: load.Version, Rules: load.RulesVersion}

// journalFailure adds what can be done about an error of the journal.
func (a *app) journalFailure(err error) error {
	hints := []struct {
		is   error
		hint string
	}{
		{journal.ErrNewer, "it was written by a newer tidemark: use that one, or restore a backup"},
		{journal.ErrNotJournal, "give another file with --db"},
		{journal.ErrReadOnly, "look at the permissions of the file and its folder, or give another with --db"},
		{journal.ErrFull, "make room and run the same command again: nothing is half kept"},
		{journal.ErrDamaged, "tidemark check says what is wrong; tidemark restore puts a backup back"},
		{journal.ErrBusy, "wait until the other one is done"},
	}
	for _, h := range hints {
		if errors.Is(err, h.is) {
			return &failure{exitJournal, err, h.hint}
		}
	}
	if errors.Is(err, context.Canceled) {
		return err
	}
	return &failure{exitJournal, err, "look at the disk; nothing is half kept, and the same command can be run again"}
}

// book opens the book of the runner that is meant, with derived rows of this
// version. In an empty journal that is written to, it makes the runner.
func (a *app) book(j *opened, write bool) (*journal.Book, journal.Runner, error) {
	runner, err := a.runner(j, write)
	if err != nil {
		return nil, runner, err
	}
	book, err := j.Open(a.ctx, journal.Local, runner.ID)
	if err != nil {
		return nil, runner, a.journalFailure(err)
	}
	stale, err := book.Stale(a.ctx)
	if err != nil {
		return nil, runner, a.journalFailure(err)
	}
	if stale {
		err = a.rederive(book, runner, write)
	}
	return book, runner, err
}

// rederive brings what another version derived up to this one.
func (a *app) rederive(book *journal.Book, runner journal.Runner, write bool) error {
	if !write {
		return a.rederiveApart()
	}
	a.say("the journal is of another version: reading the kept files again\n")
	return a.readAgain(book, runner)
}

// rederiveApart does it through a journal of its own that is opened for writing,
// for commands that only read.
func (a *app) rederiveApart() error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	_, _, err = a.book(j, true)
	return err
}
