package main

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

type importCommand struct {
	Paths  []string      `arg:"" optional:"" name:"path" help:"Files and folders: FIT, GPX, TCX, a diary CSV, gzip and zip, a whole logbook that export wrote, told apart by content."`
	Report string        `placeholder:"FILE" help:"Write what became of every file to a CSV file."`
	Watch  string        `placeholder:"DIR" help:"Take in what is put into a folder, until Ctrl-C; a file counts as whole once it is the same on two looks."`
	Every  time.Duration `default:"5s" help:"How often to look, with --watch."`
}

func (*importCommand) examples() string {
	return `  tidemark import ~/exports
  tidemark import sunday.fit old.zip diary.csv
  tidemark import --report report.csv ten-years.zip
  tidemark import --watch ~/Sync/watch
  tidemark import logbook.zip           # all that tidemark export wrote, into an empty journal or the same runner's
  tidemark import --json ~/exports | jq -r 'select(.outcome == "refused") | .path + ": " + .reason'

The command can be stopped at any moment and run again: what is kept is not read twice.`
}

// Run reads every file and keeps what it holds.
func (c *importCommand) Run(a *app) error {
	switch {
	case c.Watch == "" && len(c.Paths) == 0:
		return &failure{exitUse, errors.New("import: nothing was given"), "give files, or folders that hold some"}
	case c.Watch != "" && len(c.Paths) > 0:
		return &failure{exitUse, errors.New("import: either paths or --watch with one folder"), ""}
	case c.Watch != "" && !isDir(c.Watch):
		return &failure{exitUse, fmt.Errorf("import: --watch takes a folder, and %s is none", c.Watch), ""}
	case c.Watch != "" && c.Every < 100*time.Millisecond:
		return &failure{exitUse, errors.New("import: --every takes 100ms or more"), ""}
	}
	if c.Watch != "" {
		return c.watchFolder(a)
	}
	files, unreadable := list(c.Paths)
	if len(files) == 0 && len(unreadable) == 0 {
		return &failure{exitUse, errors.New("import: there is no file in what was given"), "give files, or folders that hold some"}
	}
	whole, err := findWhole(files)
	if err != nil {
		return err
	}
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	if whole != nil {
		if err := a.nameWhole(j, whole); err != nil {
			return err
		}
	}
	report, err := newReport(a, len(files)+len(unreadable), c.Report)
	if err != nil {
		return err
	}
	book, runner, err := c.take(a, j, whole, files, report)
	for _, r := range unreadable {
		report.add(r)
	}
	if closeErr := report.close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return err
	}
	if book == nil {
		return errTold
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

// take keeps what the files hold. Without a book nothing could be: the logbook that was to
// make its runner is refused.
func (c *importCommand) take(a *app, j *opened, whole *wholeFile, files []string, report *report) (*journal.Book, journal.Runner, error) {
	if whole != nil && whole.settles {
		runner, ok, err := a.settle(j, whole, report)
		if err != nil || !ok {
			return nil, runner, err
		}
		a.Runner = string(runner.ID)
		files = slices.DeleteFunc(files, func(path string) bool { return path == whole.path })
	}
	book, runner, err := a.book(j, true)
	if err != nil {
		return nil, runner, err
	}
	report.runner = runner
	return book, runner, a.importFiles(book, runner, files, report, true)
}

func (c *importCommand) watchFolder(a *app) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	book, runner, err := a.book(j, true)
	if err != nil {
		return err
	}
	return c.watch(a, book, runner)
}

// watch takes in what is put into the folder.
func (c *importCommand) watch(a *app, book *journal.Book, runner journal.Runner) error {
	report, err := newReport(a, 0, c.Report)
	if err != nil {
		return err
	}
	report.runner, report.bar, report.each = runner, nil, true
	err = a.watch(book, runner, report, c.Watch, c.Every)
	if closeErr := report.close(); err == nil {
		err = closeErr
	}
	return err
}

// importFiles reads the files on all cores and keeps them in their order, whole logbooks
// too if they may be. What was reported is committed, whatever happens afterwards.
func (a *app) importFiles(book *journal.Book, runner journal.Runner, paths []string, report *report, whole bool) error {
	home, err := time.LoadLocation(runner.Home)
	if err != nil {
		return &failure{exitJournal, fmt.Errorf("read home zone of %s: %w", runner.Name, err), ""}
	}
	files := func(yield func(intake.File) bool) {
		for _, path := range paths {
			open := func() (intake.Source, error) { return openFile(path) }
			if !yield(intake.File{Path: path, Open: open}) {
				return
			}
		}
	}
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home, Whole: whole}
	if err := intake.Take(a.ctx, book, files, opt, report.add, report.step); err != nil {
		return a.journalFailure(err)
	}
	return nil
}
