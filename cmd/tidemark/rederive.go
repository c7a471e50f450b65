package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type rederiveCommand struct{}

func (*rederiveCommand) examples() string {
	return `  tidemark rederive
  tidemark rederive --json | jq '.changed[] | {day, fields}'

Every kept original is read again, with what you said of it; the originals and what you said stay as they are.
It happens by itself after a new version; this says what it changed.`
}

// Run reads every original again and says what is other than before.
func (*rederiveCommand) Run(a *app) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	runner, err := a.runner(j, false)
	if err != nil {
		return err
	}
	book, err := j.Open(a.ctx, journal.Local, runner.ID)
	if err != nil {
		return a.journalFailure(err)
	}
	before, err := book.Sessions(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	originals, err := book.Originals(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	if err := a.readAgain(book, runner); err != nil {
		return err
	}
	after, err := book.Sessions(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	changed := wire.Compare(before, after)
	changed.Originals = len(originals)
	if a.JSON {
		return a.writeJSON(changed)
	}
	a.sayRederived(&changed)
	return nil
}

// readAgain derives everything of a runner from the originals.
func (a *app) readAgain(book *journal.Book, runner journal.Runner) error {
	home, err := time.LoadLocation(runner.Home)
	if err != nil {
		return &failure{exitJournal, fmt.Errorf("read home zone of %s: %w", runner.Name, err), ""}
	}
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now()), Home: home}
	if err := book.Rederive(a.ctx, intake.Redo(opt)); err != nil {
		return a.journalFailure(err)
	}
	today, err := a.today(runner)
	if err != nil {
		return err
	}
	if err := book.Refresh(a.ctx, today); err != nil {
		return a.journalFailure(err)
	}
	return nil
}

func (a *app) sayRederived(r *wire.Rederived) {
	if a.Quiet {
		return
	}
	fmt.Fprintf(a.out, "%s read again, %s: ", words.Plural(r.Originals, "file"), words.Plural(r.Sessions, "recording"))
	if len(r.Changed)+len(r.Added)+len(r.Gone) == 0 {
		fmt.Fprintln(a.out, "nothing changed.")
		return
	}
	fmt.Fprintf(a.out, "%d changed, %d new, %d gone.\n", len(r.Changed), len(r.Added), len(r.Gone))
	for _, c := range r.Changed {
		fmt.Fprintf(a.out, "\n  %s, %s\n", words.Day(c.Day), c.Sport)
		for _, name := range slices.Sorted(maps.Keys(c.Fields)) {
			if name == "notes" {
				fmt.Fprintln(a.out, "      the notes on its data are others")
				continue
			}
			fmt.Fprintf(a.out, "      %s: %s, was %s\n", name, plain(c.Fields[name].After), plain(c.Fields[name].Before))
		}
	}
	a.sayLines("new", r.Added)
	a.sayLines("gone", r.Gone)
}

func (a *app) sayLines(what string, lines []wire.ActivityLine) {
	for _, l := range lines {
		fmt.Fprintf(a.out, "\n  %s, %s: %s\n", words.Day(l.Day), l.Sport, what)
	}
}

// plain writes a value of JSON for people.
func plain(v any) string {
	switch v := v.(type) {
	case nil:
		return "nothing"
	case float64:
		return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", v), "0"), ".")
	}
	return fmt.Sprint(v)
}
