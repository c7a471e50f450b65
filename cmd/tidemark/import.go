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
	Paths  []string `arg:"" name:"path" help:"Files and folders: FIT, GPX, TCX, a diary CSV, gzip and zip, told apart by content."`
	Report string   `placeholder:"FILE" help:"Write what became of every file to a CSV file."`
}

func (*importCommand) examples() string {
	return `  tidemark import ~/exports
  tidemark import sunday.fit old.zip diary.csv
  tidemark import --report report.csv ten-years.zip
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
