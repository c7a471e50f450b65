package intake

import (
	"context"
	"errors"

	"tidemark/load"
	"tidemark/load/journal"
)

// A group is committed when it has so many recordings or so many packed bytes:
// enough that a commit costs little, few enough that a kill loses little.
const (
	groupFiles = 64
	groupBytes = 4 << 20
)

// Result is what became of one recording, told after its commit.
type Result struct {
	File     int // as the entry's
	Path     string
	Sum      journal.Sum
	Sessions []load.Session
	Mornings int // entries that said something new
	Entries  int // of a whole logbook, that are new
	Added    bool
	Err      error // the reason for which it was refused
}

// Group collects entries and keeps them in one commit at a time.
type Group struct {
	book    *journal.Book
	report  func(Result)
	entries []Entry
	bytes   int
}

// NewGroup keeps entries in book. Each is reported after the commit that holds
// it, in the order in which it came, the refused ones among them.
func NewGroup(book *journal.Book, report func(Result)) *Group {
	return &Group{book: book, report: report}
}

// Add takes an entry, and commits if that fills the group.
func (g *Group) Add(ctx context.Context, e Entry) error {
	g.entries = append(g.entries, e)
	g.bytes += len(e.Recording.Packed)
	if len(g.entries) < groupFiles && g.bytes < groupBytes {
		return nil
	}
	return g.Commit(ctx)
}

// Commit keeps what is there. After an error nothing of it is kept, and none of
// it was reported.
func (g *Group) Commit(ctx context.Context) error {
	var recordings []journal.Recording
	for _, e := range g.entries {
		if e.Err == nil && e.Mornings == nil {
			recordings = append(recordings, e.Recording)
		}
	}
	var outcomes []journal.Outcome
	if len(recordings) > 0 {
		var err error
		if outcomes, err = g.book.Add(ctx, recordings); err != nil {
			return err
		}
	}
	for _, e := range g.entries {
		r := Result{File: e.File, Path: e.Path, Sum: e.Recording.Sum, Err: e.Err}
		switch {
		case e.Err != nil:
		case e.Mornings != nil:
			if err := g.addMornings(ctx, &e, &r); err != nil {
				return err
			}
		default:
			r.Sessions, r.Added = outcomes[0].Sessions, outcomes[0].Added
			outcomes = outcomes[1:]
		}
		g.report(r)
	}
	clear(g.entries)
	g.entries, g.bytes = g.entries[:0], 0
	return nil
}

// addMornings keeps what a file says of mornings. What a journal cannot take of it is a
// reason to refuse the file, and no failure.
func (g *Group) addMornings(ctx context.Context, e *Entry, r *Result) error {
	added, err := g.book.AddMornings(ctx, e.Mornings)
	if refused, ok := errors.AsType[*journal.MorningError](err); ok {
		r.Err = refused
		return nil
	}
	r.Mornings, r.Added = added, added > 0
	return err
}
