package main

import (
	"errors"
	"fmt"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

type importCommand struct {
	Paths  []string      `arg:"" optional:"" name:"path" help:"Files and folders: FIT, GPX, TCX, a diary CSV, gzip and zip, told apart by content."`
	Report string        `placeholder:"FILE" help:"Write what became of every file to a CSV file."`
	Watch  string        `placeholder:"DIR" help:"Take in what is put into a folder, until Ctrl-C; a file counts as whole once it is the same on two looks."`
	Every  time.Duration `default:"5s" help:"How often to look, with --watch."`
}

func (*importCommand) examples() string {
	return `  tidemark import ~/exports
  tidemark import sunday.fit old.zip diary.csv
  tidemark import --report report.csv ten-years.zip
  tidemark import --watch ~/Sync/watch
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
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	book, runner, err := a.book(j, true)
	if err != nil {
		return err
	}
	if c.Watch != "" {
		return c.watch(a, book, runner)
	}
	files, unreadable := list(c.Paths)
	if len(files) == 0 && len(unreadable) == 0 {
		return &failure{exitUse, errors.New("import: there is no file in what was given"), "give files, or folders that hold some"}
	}
	report, err := newReport(a, runner, len(files)+len(unreadable), c.Report)
	if err != nil {
		return err
	}
	err = a.importFiles(book, runner, files, report)
	for _, r := range unreadable {
		report.add(r)
	}
	if closeErr := report.close(); err == nil {
		err = closeErr
	}
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

// watch takes in what is put into the folder.
func (c *importCommand) watch(a *app, book *journal.Book, runner journal.Runner) error {
	report, err := newReport(a, runner, 0, c.Report)
	if err != nil {
		return err
	}
	report.bar, report.each = nil, true
	err = a.watch(book, runner, report, c.Watch, c.Every)
	if closeErr := report.close(); err == nil {
		err = closeErr
	}
	return err
}

// importFiles reads the files on all cores and keeps them in their order. What
// was reported is committed, whatever happens afterwards.
func (a *app) importFiles(book *journal.Book, runner journal.Runner, paths []string, report *report) error {
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
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home}
	if err := intake.Take(a.ctx, book, files, opt, report.add, report.step); err != nil {
		return a.journalFailure(err)
	}
	return nil
}
