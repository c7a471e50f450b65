package main

import (
	"fmt"
	"os"
	"strings"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

// wholeFile is a whole logbook among the files that are to be imported.
type wholeFile struct {
	path    string
	name    string // of its runner; empty: it cannot be read, which the import tells
	settles bool   // it makes the runner that it is of
}

// findWhole looks for a whole logbook. Those of two runners at once are no use.
func findWhole(paths []string) (first *wholeFile, err error) {
	for _, path := range paths {
		w, err := asWhole(path)
		switch {
		case err != nil || w == nil:
		case first == nil:
			first = w
		case first.name != w.name:
			return nil, &failure{
				exitUse, fmt.Errorf("import: %s is the logbook of %s, and %s that of %s", first.path, first.name, w.path, w.name),
				"import them one by one, each with --runner",
			}
		}
	}
	return first, nil
}

// asWhole opens a file as a whole logbook; nil if it is none.
func asWhole(path string) (*wholeFile, error) {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() {
		return nil, err // a pipe is read but once
	}
	src, err := openFile(path)
	if err != nil {
		return nil, err
	}
	defer src.Close()
	f, archive, ok := intake.FindLogbook(src, src.Size())
	if !ok {
		return nil, nil
	}
	out := &wholeFile{path: path}
	if l, err := intake.OpenLogbook(f, archive, ingest.DefaultLimits); err == nil {
		out.name = l.Kept.Name
	}
	return out, nil
}

// nameWhole sees whose the logbook becomes: that of a new runner in an empty journal, else
// that of the runner who was named or has the same name. Somebody else's is never taken for
// the only runner's.
func (a *app) nameWhole(j *opened, w *wholeFile) error {
	all, err := j.Runners(a.ctx, journal.Local)
	if err != nil {
		return a.journalFailure(err)
	}
	w.settles = len(all) == 0
	if w.settles || a.Runner != "" {
		return nil
	}
	var names []string
	for _, r := range all {
		if r.Name == w.name {
			a.Runner = string(r.ID)
			return nil
		}
		names = append(names, r.Name)
	}
	return &failure{
		exitUse, fmt.Errorf("import: %s is the logbook of %q, and the journal has no runner of that name", w.path, w.name),
		"--runner says whose it becomes, one of: " + strings.Join(names, ", "),
	}
}

// settle makes a runner of the logbook; ok is false if it was refused.
func (a *app) settle(j *opened, w *wholeFile, report *report) (journal.Runner, bool, error) {
	file := intake.File{Path: w.path, Open: func() (intake.Source, error) { return openFile(w.path) }}
	opt := intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(a.now())}
	runner, ok, err := intake.Settle(a.ctx, j.Journal, a.Runner, file, opt, report.add)
	if err != nil {
		return runner, false, a.journalFailure(err)
	}
	report.runner = runner
	return runner, ok, nil
}
