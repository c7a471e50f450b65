package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/words"
)

// watcher takes in what is put into a folder. It looks every so often, which works
// on every kind of disk, and takes a file once it is the same on two looks.
type watcher struct {
	app    *app
	book   *journal.Book
	runner journal.Runner
	report *report
	folder string

	waiting map[string]stamp // as it was on the last look
	taken   map[string]stamp // as it was taken in, or refused
	gone    bool             // it was said that the folder is not there
}

// stamp is by what a file is seen to have changed.
type stamp struct {
	size     int64
	modified time.Time
}

// halfWritten are the endings under which programs write files that are not whole.
var halfWritten = []string{".part", ".partial", ".tmp", ".temp", ".crdownload", ".download", ".filepart"}

// watch takes in files until the command is stopped, which is its ordinary end.
func (a *app) watch(book *journal.Book, runner journal.Runner, report *report, folder string, every time.Duration) error {
	w := &watcher{
		app: a, book: book, runner: runner, report: report, folder: folder,
		waiting: make(map[string]stamp), taken: make(map[string]stamp),
	}
	a.say("watching %s; stop with Ctrl-C\n", folder)
	for {
		if ready := w.look(); len(ready) > 0 {
			if err := w.take(ready); err != nil {
				return err
			}
		}
		select {
		case <-a.ctx.Done():
			return nil
		case <-time.After(every):
		}
	}
}

// look returns the files that have not changed since the last look and were not
// taken as they are.
func (w *watcher) look() (ready []string) {
	files, unreadable := list([]string{w.folder})
	w.tellGone(unreadable)
	now := make(map[string]stamp, len(files))
	for _, path := range files {
		info, err := os.Stat(path)
		if err != nil || path == w.folder || isHalfWritten(filepath.Base(path)) {
			continue
		}
		at := stamp{info.Size(), info.ModTime()}
		if w.taken[path] == at {
			continue
		}
		now[path] = at
		if w.waiting[path] == at {
			ready = append(ready, path)
		}
	}
	w.waiting = now
	return ready
}

func (w *watcher) tellGone(unreadable []intake.Result) {
	gone := slices.ContainsFunc(unreadable, func(r intake.Result) bool { return r.Path == w.folder })
	if gone && !w.gone {
		w.app.say("%s cannot be read; waiting for it\n", w.folder)
	}
	w.gone = gone
}

func isHalfWritten(name string) bool {
	return strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~") || slices.Contains(halfWritten, strings.ToLower(filepath.Ext(name)))
}

// take keeps files that are whole. What was begun is finished whoever stops the
// command. While another program writes, the files wait for the next look.
func (w *watcher) take(paths []string) error {
	a := *w.app
	a.ctx = context.WithoutCancel(w.app.ctx)
	err := a.importFiles(w.book, w.runner, paths, w.report, false)
	if errors.Is(err, journal.ErrBusy) {
		return nil
	}
	if err != nil {
		return err
	}
	for _, path := range paths {
		w.taken[path] = w.waiting[path]
		delete(w.waiting, path)
	}
	today, err := a.today(w.runner)
	if err != nil {
		return err
	}
	if err := w.book.Refresh(a.ctx, today); err != nil && !errors.Is(err, journal.ErrBusy) {
		return a.journalFailure(err)
	}
	return nil
}

// tellOne writes one line for a file. What was there already is not worth one.
func (r *report) tellOne(res *intake.Result) {
	switch {
	case r.app.Quiet && res.Err != nil:
		fmt.Fprintf(r.app.err, "tidemark: refused: %s: %v\n", res.Path, res.Err)
	case r.app.Quiet || errors.Is(res.Err, ingest.ErrAside):
	case res.Err != nil:
		fmt.Fprintf(r.app.out, "refused  %s: %v\n", res.Path, res.Err)
	case res.Added:
		fmt.Fprintf(r.app.out, "added    %s: %s\n", res.Path, sessionsLine(res.Sessions))
	}
}

// sessionsLine names the first sessions of a file.
func sessionsLine(sessions []load.Session) string {
	const most = 3
	var parts []string
	for i := range sessions {
		if i == most {
			parts = append(parts, fmt.Sprintf("and %d more", len(sessions)-most))
			break
		}
		s := &sessions[i]
		part := fmt.Sprintf("%v of %s", s.Sport, words.Day(s.Day))
		if s.DistanceSource != "" {
			part += fmt.Sprintf(", %.1f km", float64(s.Distance)/1000)
		}
		parts = append(parts, part)
	}
	return strings.Join(parts, "; ")
}
