package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

type importCommand struct {
	Paths []string `arg:"" name:"path" help:"Files and folders: FIT, GPX, TCX, a diary CSV, gzip and zip, told apart by content."`
}

func (*importCommand) examples() string {
	return `  tidemark import ~/exports
  tidemark import sunday.fit old.zip diary.csv
  tidemark import --json ~/exports | jq -r 'select(.outcome == "refused") | .path + ": " + .reason'

The command can be stopped at any moment and run again: what is kept is not read twice.`
}

// Run reads every file and keeps what it holds.
func (c *importCommand) Run(a *app) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	book, runner, err := a.book(j, true)
	if err != nil {
		return err
	}
	files, unreadable := list(c.Paths)
	if len(files) == 0 && len(unreadable) == 0 {
		return &failure{exitUse, errors.New("import: there is no file in what was given"), "give files, or folders that hold some"}
	}
	report := newReport(a, runner, len(files)+len(unreadable))
	err = a.importFiles(book, runner, files, report)
	for _, r := range unreadable {
		report.add(r)
	}
	report.close()
	if err != nil {
		return err
	}
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	if err := book.Refresh(a.ctx, today); err != nil {
		return a.journalFailure(err)
	}
	if report.counts.Refused > 0 {
		return errTold
	}
	return nil
}

// list returns the files under paths in the order of a walk, and those that
// cannot be looked at.
func list(paths []string) (files []string, unreadable []intake.Result) {
	for _, root := range paths {
		_ = filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				unreadable = append(unreadable, intake.Result{Path: path, Err: plain(err)})
			case entry.Type().IsRegular() || path == root && !entry.IsDir():
				files = append(files, path)
			}
			return nil
		})
	}
	return files, unreadable
}

// plain takes the path out of an error that is told beside it.
func plain(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err
	}
	return err
}

// job is one file on its way from a worker to the committer.
type job struct {
	path    string
	entries chan intake.Entry
}

// readAhead is how many files a worker may be ahead of the committer, so that
// none waits while a group is written: about two groups' worth on two cores.
const readAhead = 32

// importFiles reads the files on all cores and keeps them in their order. What
// was reported is committed, whatever happens afterwards.
func (a *app) importFiles(book *journal.Book, runner journal.Runner, files []string, report *report) error {
	home, err := time.LoadLocation(runner.Home)
	if err != nil {
		return &failure{exitJournal, fmt.Errorf("read home zone of %s: %w", runner.Name, err), ""}
	}
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home}
	ctx, cancel := context.WithCancelCause(a.ctx)
	defer cancel(nil)

	known, err := intake.KnownTo(ctx, book)
	if err != nil {
		return a.journalFailure(err)
	}
	workers := runtime.GOMAXPROCS(0)
	queue, ordered := make(chan job), make(chan job, readAhead*workers)
	go func() {
		defer close(queue)
		defer close(ordered)
		for _, path := range files {
			next := job{path, make(chan intake.Entry, 4)}
			for _, to := range []chan<- job{ordered, queue} {
				select {
				case to <- next:
				case <-ctx.Done():
					return
				}
			}
		}
	}()
	var working sync.WaitGroup
	for range workers {
		working.Go(func() {
			for next := range queue {
				if err := read(ctx, next, known, opt); err != nil {
					cancel(err)
				}
				close(next.entries)
			}
		})
	}
	err = a.keep(ctx, book, ordered, report)
	cancel(err)
	working.Wait()
	return err
}

// read sends every recording of the job's file to the committer.
func read(ctx context.Context, next job, known intake.Known, opt intake.Options) error {
	send := func(e intake.Entry) error {
		select {
		case next.entries <- e:
			return nil
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
	f, err := os.Open(next.path)
	if err != nil {
		return send(intake.Entry{Path: next.path, Err: plain(err)})
	}
	defer f.Close()
	for e := range intake.Read(next.path, f, known, opt) {
		if err := send(e); err != nil {
			return err
		}
	}
	return nil
}

// keep commits what the workers send, in the order of the files.
func (a *app) keep(ctx context.Context, book *journal.Book, ordered <-chan job, report *report) error {
	group := intake.NewGroup(book, report.add)
	for next := range ordered {
		for {
			var e intake.Entry
			more := false
			select {
			case e, more = <-next.entries:
			case <-ctx.Done():
				return a.journalFailure(context.Cause(ctx))
			}
			if !more {
				break
			}
			if err := group.Add(ctx, e); err != nil {
				return a.journalFailure(fmt.Errorf("keep recordings: %w", err))
			}
		}
		report.step()
	}
	if ctx.Err() != nil {
		return a.journalFailure(context.Cause(ctx))
	}
	if err := group.Commit(ctx); err != nil {
		return a.journalFailure(fmt.Errorf("keep recordings: %w", err))
	}
	return nil
}
