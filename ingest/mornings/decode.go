// Package mornings reads the CSV of mornings: what was said of a complaint, one line a
// waking date. It checks every value and keeps nothing of a file with a wrong one.
//
// Which complaint a line means is known to the journal alone; here it is a site and a
// side.
package mornings

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"tidemark/load"
	"tidemark/load/rehab"
)

// ErrNoRows is the reason when a file has a header and nothing below it.
var ErrNoRows = errors.New("no rows below the header")

// Limits bounds what Decode accepts.
type Limits struct{ Rows int }

// DefaultLimits allows two complaints a day for thirty years; project default.
var DefaultLimits = Limits{Rows: 22_000}

// Row is one line: a morning of the complaint SITE:SIDE, and when it was typed.
type Row struct {
	rehab.Morning
	Entered load.Instant
}

const format = "mornings"

// Sniff reports whether data begins with the header line of such a file: columns called
// complaint and on.
func Sniff(data []byte) bool {
	line, _, _ := bytes.Cut(trimMark(data[:min(len(data), 4096)]), []byte("\n"))
	var found [columns]bool
	for name := range strings.SplitSeq(string(line), string(separator(line))) {
		if c := columnOf(strings.Trim(name, `" `+"\t\r")); c >= 0 {
			found[c] = true
		}
	}
	return found[complaint] && found[on]
}

// Decode reads the mornings of a file, in its order. Where a line does not say when it
// was typed, it was at noon of its date in home, which must not be nil, or now if that is
// still to come. The error is a *load.DecodeError with line and column.
func Decode(data []byte, home *time.Location, now load.Instant, lim Limits) ([]Row, error) {
	data = trimMark(data)
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		return nil, refuse(cell{line: 1}, "not UTF-8 text")
	}
	line, _, _ := bytes.Cut(data, []byte("\n"))
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma = separator(line)
	header, err := readHeader(r)
	if err != nil {
		return nil, err
	}
	var rows []Row
	seen := make(map[string]int)
	for {
		cells, err := readLine(r, header)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		row, err := adapt(cells, home, now)
		if err != nil {
			return nil, err
		}
		key := fmt.Sprintf("%s %d", row.Complaint, row.Day)
		switch first, again := seen[key]; {
		case again:
			return nil, refuse(cells[on], "%s of %s stands in line %d already", row.Day, row.Complaint, first)
		case len(rows) == lim.Rows:
			return nil, refuse(cells[on], "more than %d rows", lim.Rows)
		}
		seen[key] = cells[on].line
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return nil, &load.DecodeError{Format: format, Offset: -1, Line: 1, Err: ErrNoRows}
	}
	return rows, nil
}

func readHeader(r *csv.Reader) (header []column, err error) {
	fields, err := r.Read()
	if err != nil {
		return nil, place(err)
	}
	for i, name := range fields {
		c := cell{text: strings.TrimSpace(name)}
		c.line, c.offset = r.FieldPos(i)
		col := columnOf(c.text)
		switch {
		case col < 0:
			return nil, refuse(c, "unknown column %.40q: want some of %s", c.text, strings.Join(columnNames[:], ", "))
		case slices.Contains(header, col):
			return nil, refuse(c, "column %s is there twice", col)
		}
		header = append(header, col)
	}
	for _, need := range []column{complaint, on} {
		if !slices.Contains(header, need) {
			return nil, refuse(cell{line: 1}, "no column %s", need)
		}
	}
	return header, nil
}

// readLine returns the next line in which something was typed, or io.EOF.
func readLine(r *csv.Reader, header []column) (cells [columns]cell, err error) {
	for {
		fields, err := r.Read()
		if err != nil {
			return cells, place(err)
		}
		line, _ := r.FieldPos(0)
		for c := range cells {
			cells[c] = cell{line: line}
		}
		empty := true
		for i, text := range fields {
			c := &cells[header[i]]
			c.text = strings.TrimSpace(text)
			c.line, c.offset = r.FieldPos(i)
			empty = empty && c.text == ""
		}
		if !empty {
			return cells, nil
		}
	}
}

func separator(line []byte) rune {
	if bytes.IndexByte(line, ';') >= 0 {
		return ';'
	}
	return ','
}

func columnOf(name string) column {
	return column(slices.IndexFunc(columnNames[:], func(n string) bool { return strings.EqualFold(n, name) }))
}

func trimMark(data []byte) []byte { return bytes.TrimPrefix(data, []byte("\ufeff")) }

// refuse returns the error for a cell.
func refuse(c cell, why string, args ...any) error {
	return &load.DecodeError{Format: format, Offset: -1, Line: c.line, Column: c.offset, Err: fmt.Errorf(why, args...)}
}

// place returns an error of encoding/csv as one of ours; io.EOF stays.
func place(err error) error {
	if bad, ok := errors.AsType[*csv.ParseError](err); ok {
		return &load.DecodeError{Format: format, Offset: -1, Line: bad.Line, Column: bad.Column, Err: bad.Err}
	}
	return err
}
