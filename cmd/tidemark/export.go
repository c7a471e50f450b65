package main

import (
	"bytes"
	"errors"
	"fmt"
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
	CSV bool   `name:"csv" help:"All recordings as a table, one line each."`
	GPX string `name:"gpx" placeholder:"ID" help:"The cleaned track of the recording with the ID, which the table gives."`
	Out string `name:"out" short:"o" placeholder:"FILE" help:"The file to write; a file that is there is not touched. By default standard output."`
}

func (*exportCommand) examples() string {
	return `  tidemark export --csv > runs.csv
  tidemark export --csv -o runs.csv
  tidemark export --gpx 9f86d081884c7d65-1772434800 -o sunday.gpx

Units are in the names of the table's columns; an empty cell is a value that nobody knows.
A track holds the positions that count, and none that the watch put where nobody can have run.`
}

// Run makes the whole of what was asked for before the first byte is written.
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
	var content bytes.Buffer
	if c.CSV {
		err = a.exportCSV(&content, book, runner)
	} else {
		err = a.exportGPX(&content, book, runner, c.GPX)
	}
	if err != nil {
		return err
	}
	return c.write(a, content.Bytes())
}

// check sees that one thing is asked for, in a form that it has.
func (c *exportCommand) check(a *app) error {
	use := func(text, hint string) error { return &failure{exitUse, errors.New(text), hint} }
	switch {
	case a.JSON:
		return use("export: tables and tracks are not written as JSON", "leave --json out; tidemark load --json writes load and findings")
	case c.CSV && c.GPX != "":
		return use("export: --csv and --gpx are two files", "run it once for each")
	case !c.CSV && c.GPX == "":
		return use("export: nothing was asked for", "--csv for all runs as a table, --gpx ID for one track")
	}
	return nil
}

func (a *app) exportCSV(w *bytes.Buffer, book *journal.Book, runner journal.Runner) error {
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

func (a *app) exportGPX(w *bytes.Buffer, book *journal.Book, runner journal.Runner, id string) error {
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

// write hands the content out. A file is only its owner's to read, for it tells
// where somebody runs.
func (c *exportCommand) write(a *app, content []byte) error {
	if c.Out == "" {
		_, err := a.out.Write(content)
		return err
	}
	f, err := os.OpenFile(c.Out, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return &failure{exitUse, fmt.Errorf("export to %s: there is a file already", c.Out), "give another name"}
	}
	if err != nil {
		return &failure{exitUse, fmt.Errorf("export: %w", err), ""}
	}
	_, err = f.Write(content)
	if err = errors.Join(err, f.Close()); err != nil {
		return fmt.Errorf("export: %w", errors.Join(err, os.Remove(c.Out)))
	}
	a.say("written to %s\n", c.Out)
	return nil
}
