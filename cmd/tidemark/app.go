package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web/api/intake"
)

// Common are the flags that all commands share.
type Common struct {
	DB     string   `placeholder:"FILE" env:"TIDEMARK_DB" help:"The journal; by default tidemark.db in the data folder of the user."`
	Runner string   `placeholder:"NAME" help:"The runner, by name or ID; by default the only one of the journal."`
	On     load.Day `placeholder:"YYYY-MM-DD" help:"The day that is today; by default the runner's own."`
	Zone   string   `placeholder:"ZONE" help:"Home zone of a runner that is made, as Europe/Oslo; by default this machine's."`
	JSON   bool     `name:"json" help:"Write JSON to standard output."`
	Quiet  bool     `help:"No table and no progress bar; errors are still told."`
}

// app is one run of one command.
type app struct {
	*streams
	*Common
	ctx context.Context
}

// The exit codes.
const (
	exitDone        = 0
	exitRefused     = 1
	exitUse         = 2
	exitJournal     = 3
	exitInterrupted = 4
)

// failure is an error with the exit code and, where there is one, what to do.
type failure struct {
	code int
	err  error
	hint string
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// errTold is the failure of a command that has already said what was refused.
var errTold = &failure{code: exitRefused}

// fail tells an error on standard error and returns the exit code.
func (s *streams) fail(err error) int {
	if err == nil {
		return exitDone
	}
	f, ok := errors.AsType[*failure](err)
	switch {
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(s.err, "tidemark: error: interrupted; what was reported is kept, the rest is untouched")
		return exitInterrupted
	case !ok:
		f = &failure{code: exitRefused, err: err}
	}
	if f.err != nil {
		fmt.Fprintln(s.err, "tidemark: error:", f.err)
	}
	if f.hint != "" {
		fmt.Fprintln(s.err, "tidemark: hint:", f.hint)
	}
	return f.code
}

// writeJSON writes one value to standard output, indented for people unless it
// is one of many lines.
func (a *app) writeJSON(v any) error {
	enc := json.NewEncoder(a.out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

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
	if err != nil {
		return nil, a.journalFailure(err)
	}
	clock := func() load.Instant { return load.InstantOf(a.now()) }
	return &opened{journal.New(store, clock, versions), store}, nil
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
	home, err := time.LoadLocation(runner.Home)
	if err != nil {
		return &failure{exitJournal, fmt.Errorf("read home zone of %s: %w", runner.Name, err), ""}
	}
	a.say("the journal is of another version: reading the kept files again\n")
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home}
	if err := book.Rederive(a.ctx, intake.Redo(opt)); err != nil {
		return a.journalFailure(err)
	}
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	return book.Refresh(a.ctx, today)
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

func (a *app) runner(j *opened, write bool) (journal.Runner, error) {
	all, err := j.Runners(a.ctx, journal.Local)
	switch {
	case err != nil:
		return journal.Runner{}, a.journalFailure(err)
	case len(all) == 0 && write:
		return a.makeRunner(j)
	case len(all) == 0:
		return journal.Runner{}, &failure{exitJournal, errors.New("the journal has no runner yet"), "tidemark import FOLDER makes one"}
	case a.Runner == "" && len(all) == 1:
		return all[0], nil
	}
	var names []string
	for _, r := range all {
		if a.Runner == r.Name || a.Runner == string(r.ID) {
			return r, nil
		}
		names = append(names, r.Name)
	}
	hint := "--runner with one of: " + strings.Join(names, ", ")
	if a.Runner == "" {
		return journal.Runner{}, &failure{exitUse, errors.New("the journal has several runners"), hint}
	}
	return journal.Runner{}, &failure{exitUse, fmt.Errorf("find runner %q: there is none", a.Runner), hint}
}

// makeRunner makes the first runner of a journal: the one that was named, or me.
func (a *app) makeRunner(j *opened) (journal.Runner, error) {
	zone := a.Zone
	if zone == "" {
		zone = machineZone(a.env)
	}
	if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
		return journal.Runner{}, &failure{exitUse, fmt.Errorf("read zone %q: no such zone", zone), "a name as in Europe/Oslo"}
	}
	name := a.Runner
	if name == "" {
		name = "me"
	}
	today, err := a.today(journal.Runner{Home: zone})
	if err != nil {
		return journal.Runner{}, err
	}
	r, err := j.AddRunner(a.ctx, name, zone, today)
	if err != nil {
		return r, a.journalFailure(err)
	}
	return r, nil
}

// machineZone returns the IANA name of this machine's zone, UTC if it has none.
func machineZone(env func(string) string) string {
	if zone := strings.TrimPrefix(env("TZ"), ":"); zone != "" {
		return zone
	}
	target, err := os.Readlink("/etc/localtime")
	if _, zone, ok := strings.Cut(target, "zoneinfo/"); err == nil && ok {
		return zone
	}
	return "UTC"
}

// today is --on, or the date on the runner's clock.
func (a *app) today(r journal.Runner) (load.Day, error) {
	if a.On != 0 {
		return a.On, nil
	}
	today, err := r.Today(load.InstantOf(a.now()))
	if err != nil {
		return 0, &failure{exitJournal, err, ""}
	}
	return today, nil
}

// say writes to standard error unless --quiet.
func (a *app) say(format string, args ...any) {
	if !a.Quiet {
		fmt.Fprintf(a.err, format, args...)
	}
}
