// Package diary reads the diary CSV: training that a person typed, one line a
// run, walk, ride or day of rest. It checks every value and keeps nothing of a
// file with a wrong one, because a person can correct a file and a watch cannot.
//
// It is no general CSV importer: the columns have fixed names, and an unknown
// one is refused rather than skipped.
package diary

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"tidemark/load"
)

// ErrNoRows is the reason when a diary has a header and nothing below it.
var ErrNoRows = errors.New("no rows below the header")

// Limits bounds what Decode accepts.
type Limits struct {
	Rows int // lines below the header
	Note int // bytes of one note
	// First and Last are the days that a row may have. Both zero: any.
	First, Last load.Day
}

// DefaultLimits allows three rows a day for twenty years, and a page of note.
// Project defaults.
var DefaultLimits = Limits{Rows: 22_000, Note: 4_000}

// Book is what a diary holds, in the order of the file.
type Book struct {
	// Rows are the runs, walks, rides and others. Each has Typed and Totals and
	// no samples.
	Rows []load.Activity
	// Rests are the days that were said to be without training. A note on such
	// a day is read and not kept.
	Rests []load.Day
}

// Sniff reports whether data begins with the header line of a diary: one of its
// columns is called date.
func Sniff(data []byte) bool {
	line, _, _ := bytes.Cut(trimMark(data[:min(len(data), 4096)]), []byte("\n"))
	comma := separator(line)
	for name := range strings.SplitSeq(string(line), string(comma)) {
		if columnOf(strings.Trim(name, `" `+"\t\r")) == date {
			return true
		}
	}
	return false
}

// Decode reads a diary. A row without a start begins at 12:00 of its day in
// home, and says so in Typed; home must not be nil. Whatever the clocks of home
// did on that day, Typed.Day is the date that was typed.
//
// The error is a *load.DecodeError with line and column, and the Book is then
// empty.
func Decode(data []byte, home *time.Location, lim Limits) (Book, error) {
	r, err := newReader(data)
	if err != nil {
		return Book{}, err
	}
	var book Book
	for n := 0; ; n++ {
		row, err := r.next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err == nil && n == lim.Rows {
			err = refuse(row[date], "more than %d rows", lim.Rows)
		}
		if err == nil {
			err = book.add(&row, adapter{home: home, lim: lim, decimal: r.decimal()})
		}
		if err != nil {
			return Book{}, err
		}
	}
	if len(book.Rows)+len(book.Rests) == 0 {
		return Book{}, &load.DecodeError{Format: format, Offset: -1, Line: 1, Err: ErrNoRows}
	}
	return book, nil
}

func (b *Book) add(r *row, ad adapter) error {
	day, err := ad.day(r[date])
	if err != nil {
		return err
	}
	if strings.EqualFold(r[kind].text, rest) {
		if err := checkRest(r); err != nil {
			return err
		}
		if !slices.Contains(b.Rests, day) {
			b.Rests = append(b.Rests, day)
		}
		return nil
	}
	a, err := ad.activity(r, day)
	if err != nil {
		return err
	}
	b.Rows = append(b.Rows, a)
	return nil
}

const format = "diary"

// refuse returns the error for a cell.
func refuse(c cell, why string, args ...any) error {
	return &load.DecodeError{
		Format: format, Offset: -1, Line: c.line, Column: c.offset,
		Err: fmt.Errorf(why, args...),
	}
}

// short returns text as far as an error message should quote it.
func short(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}
