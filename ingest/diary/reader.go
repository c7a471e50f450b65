package diary

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"tidemark/load"
)

// reader turns the lines of a file into rows.
type reader struct {
	csv    *csv.Reader
	header []column // column of each field
}

func newReader(data []byte) (*reader, error) {
	data = trimMark(data)
	if err := checkText(data); err != nil {
		return nil, err
	}
	line, _, _ := bytes.Cut(data, []byte("\n"))
	r := &reader{csv: csv.NewReader(bytes.NewReader(data))}
	r.csv.Comma = separator(line)
	r.csv.ReuseRecord = true
	fields, err := r.csv.Read()
	if errors.Is(err, io.EOF) {
		return nil, &load.DecodeError{Format: format, Offset: -1, Line: 1, Err: ErrNoRows}
	}
	if err != nil {
		return nil, place(err)
	}
	return r, r.readHeader(fields)
}

func (r *reader) readHeader(fields []string) error {
	for i, name := range fields {
		c := cell{text: strings.TrimSpace(name)}
		c.line, c.offset = r.csv.FieldPos(i)
		col := columnOf(c.text)
		switch {
		case col < 0:
			return refuse(c, "unknown column %q: want some of %s", short(c.text), strings.Join(columnNames[:], ", "))
		case slices.Contains(r.header, col):
			return refuse(c, "column %s is there twice", col)
		}
		r.header = append(r.header, col)
	}
	if !slices.Contains(r.header, date) {
		return refuse(cell{line: 1}, "no column %s", date)
	}
	return nil
}

// next returns the next row in which something was typed, or io.EOF.
func (r *reader) next() (row, error) {
	for {
		fields, err := r.csv.Read()
		if err != nil {
			return row{}, place(err)
		}
		line, _ := r.csv.FieldPos(0)
		var out row
		for col := range columns {
			out[col] = cell{column: col, line: line}
		}
		for i, text := range fields {
			c := &out[r.header[i]]
			c.text = strings.TrimSpace(text)
			c.line, c.offset = r.csv.FieldPos(i)
		}
		if !out.empty() {
			return out, nil
		}
	}
}

// decimal returns the decimal mark that goes with the file's separator.
func (r *reader) decimal() byte {
	if r.csv.Comma == ';' {
		return ','
	}
	return '.'
}

// separator tells a header that is split by semicolons from one with commas.
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

// checkText refuses what is not UTF-8, with the line of the first wrong byte.
func checkText(data []byte) error {
	for line, rest := 1, data; len(rest) > 0; line++ {
		text, after, _ := bytes.Cut(rest, []byte("\n"))
		if !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0 {
			return refuse(cell{line: line}, "not UTF-8 text")
		}
		rest = after
	}
	return nil
}

// place returns an error of encoding/csv as one of ours; io.EOF stays.
func place(err error) error {
	if bad, ok := errors.AsType[*csv.ParseError](err); ok {
		return &load.DecodeError{
			Format: format, Offset: -1, Line: bad.Line, Column: bad.Column, Err: bad.Err,
		}
	}
	return err
}
