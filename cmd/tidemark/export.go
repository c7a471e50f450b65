package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/export"
)

type exportCommand struct {
	CSV bool   `name:"csv" help:"Only a table of all recordings, one line each."`
	GPX string `name:"gpx" placeholder:"ID" help:"Only the cleaned track of the recording with the ID, which the table gives."`
	Out string `name:"out" short:"o" placeholder:"FILE" help:"The file to write; a file that is there is not touched. By default, and with -, standard output."`
}

func (*exportCommand) examples() string {
	return `  tidemark export -o logbook.zip        # everything of one runner: originals, tables, JSON with its schema
  tidemark export -o - | ssh elsewhere 'cat > logbook.zip'
  tidemark export --csv > runs.csv
  tidemark export --csv -o runs.csv
  tidemark export --gpx 9f86d081884c7d65-1772434800 -o sunday.gpx

The zip is what tidemark import takes over whole elsewhere. Whoever has it can read all of it, what hurts too.
Units are in the names of the table's columns; an empty cell is a value that nobody knows.
A track holds the positions that count, and none that the watch put where nobody can have run.`
}

// Run writes what was asked for; without a flag that is everything.
func (c *exportCommand) Run(a *app) error {
	if err := c.check(a); err != nil {
		return err
	}
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	book, runner, err := a.book(j, false)
	if err != nil {
		return err
	}
	write := a.exportLogbook
	switch {
	case c.CSV:
		write = a.exportCSV
	case c.GPX != "":
		write = func(w io.Writer, book *journal.Book, runner journal.Runner) error {
			return a.exportGPX(w, book, runner, c.GPX)
		}
	}
	return c.write(a, func(w io.Writer) error { return write(w, book, runner) })
}

// check sees that one thing is asked for, in a form that it has.
func (c *exportCommand) check(a *app) error {
	use := func(text, hint string) error { return &failure{exitUse, errors.New(text), hint} }
	switch {
	case a.JSON:
		return use("export: tables, tracks and the zip of everything are not written as JSON", "leave --json out; tidemark load --json writes load and findings, the zip holds everything as JSON")
	case c.CSV && c.GPX != "":
		return use("export: --csv and --gpx are two files", "run it once for each")
	case !c.CSV && c.GPX == "" && c.Out == "" && a.outTerminal:
		return use("export: a zip is nothing for a terminal", "give a file: tidemark export -o logbook.zip")
	}
	return nil
}

// exportLogbook writes everything of one view; the originals, which never change, are read
// one by one after it.
func (a *app) exportLogbook(w io.Writer, book *journal.Book, runner journal.Runner) error {
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	whole, err := book.Whole(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	err = export.Logbook(w, &whole, today, func(sum journal.Sum) ([]byte, error) { return book.Original(a.ctx, sum) })
	if errors.Is(err, journal.ErrDamaged) || errors.Is(err, journal.ErrNotFound) {
		return a.journalFailure(err)
	}
	return err
}

func (a *app) exportCSV(w io.Writer, book *journal.Book, runner journal.Runner) error {
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	in, err := book.Input(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	return export.CSV(w, in.Sessions, load.Doubles(in.Sessions), in.Settings)
}

func (a *app) exportGPX(w io.Writer, book *journal.Book, runner journal.Runner, id string) error {
	session, err := book.Session(a.ctx, id)
	if errors.Is(err, journal.ErrNotFound) {
		return &failure{exitUse, fmt.Errorf("find recording %q: there is none", id), "tidemark export --csv lists all with their IDs"}
	}
	if err != nil {
		return a.journalFailure(err)
	}
	original, _, err := book.OriginalOf(a.ctx, id)
	if err != nil {
		return a.journalFailure(err)
	}
	home, err := time.LoadLocation(runner.Home)
	if err != nil {
		return &failure{exitJournal, fmt.Errorf("read home zone of %s: %w", runner.Name, err), ""}
	}
	activity, err := intake.Activity(original, id, intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home})
	if err != nil {
		return fmt.Errorf("read recording %s again: %w", id, err)
	}
	err = export.GPX(w, &activity, &session)
	if errors.Is(err, export.ErrNoTrack) {
		return &failure{exitRefused, err, "tidemark export --csv holds its numbers"}
	}
	return err
}

// write hands out what f writes. A file is only its owner's to read, for it tells where
// somebody runs and what hurts; without all of it, it is none.
func (c *exportCommand) write(a *app, f func(io.Writer) error) error {
	if c.Out == "" || c.Out == "-" {
		return f(a.out)
	}
	file, err := os.OpenFile(c.Out, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return &failure{exitUse, fmt.Errorf("export to %s: there is a file already", c.Out), "give another name"}
	}
	if err != nil {
		return &failure{exitUse, fmt.Errorf("export: %w", err), ""}
	}
	buffered := bufio.NewWriterSize(file, 1<<20)
	err = f(buffered)
	if err == nil {
		err = buffered.Flush()
	}
	if closeErr := file.Close(); err == nil {
		err = closeErr
	}
	if err != nil {
		return errors.Join(err, os.Remove(c.Out))
	}
	a.say("written to %s\n", c.Out)
	return nil
}
