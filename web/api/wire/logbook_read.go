package wire

import (
	"bytes"
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"unicode/utf8"
)

// ErrNoLogbook is the reason when a document is no logbook at all.
var ErrNoLogbook = errors.New("no logbook")

// ReadLogbook reads a logbook. Nothing may be missing, unknown, or null that has a value. An
// error says where: line and column, or the names on the way to the value.
func ReadLogbook(data []byte) (*Logbook, error) {
	if !utf8.Valid(data) {
		return nil, fmt.Errorf("not UTF-8 text (%s)", place(data, invalidAt(data)))
	}
	var head struct {
		Format  string  `json:"format"`
		Version float64 `json:"version"`
	}
	err := json.Unmarshal(data, &head)
	if syntax, ok := errors.AsType[*json.SyntaxError](err); ok {
		return nil, fmt.Errorf("%w (%s)", syntax, place(data, syntax.Offset-1))
	}
	switch {
	case err != nil, head.Format != LogbookFormat:
		return nil, fmt.Errorf("%w: its format is %.40q", ErrNoLogbook, head.Format)
	case head.Version > LogbookVersion:
		return nil, fmt.Errorf("it is of version %g, and this program reads up to %d: take a newer one", head.Version, LogbookVersion)
	case head.Version != LogbookVersion:
		return nil, fmt.Errorf("it is of version %g, which there never was", head.Version)
	}
	b := new(Logbook)
	if err := strict(data, reflect.ValueOf(b).Elem()); err != nil {
		return nil, err
	}
	return b, nil
}

// IsLogbook reports whether a document says of itself at its beginning that it is a
// logbook, be it whole or not.
func IsLogbook(head []byte) bool {
	return bytes.Contains(head[:min(len(head), 200)], []byte(`"`+LogbookFormat+`"`))
}

// place says where an offset is.
func place(data []byte, offset int64) string {
	before := data[:min(int64(len(data)), max(0, offset))]
	line := bytes.Count(before, []byte("\n")) + 1
	return fmt.Sprintf("line %d, column %d, byte %d", line, len(before)-bytes.LastIndexByte(before, '\n'), len(before))
}

func invalidAt(data []byte) int64 {
	at := 0
	for at < len(data) {
		r, n := utf8.DecodeRune(data[at:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		at += n
	}
	return int64(at)
}

// at is an error with the names on the way to it.
type at struct {
	path string
	err  error
}

func (e *at) Error() string { return e.path + ": " + e.err.Error() }

func (e *at) Unwrap() error { return e.err }

// under puts a name before those of an error.
func under(name string, err error) error {
	if inner, ok := err.(*at); ok {
		dot := "."
		if inner.path[0] == '[' {
			dot = ""
		}
		return &at{name + dot + inner.path, inner.err}
	}
	return &at{name, err}
}

var (
	errMissing = errors.New("it is missing")
	errUnknown = errors.New("there is no such field")
	errNull    = errors.New("it is null")
)

// strict reads a value into v.
func strict(data json.RawMessage, v reflect.Value) error {
	null := bytes.Equal(bytes.TrimSpace(data), []byte("null"))
	if null && v.Kind() != reflect.Pointer {
		return errNull
	}
	switch v.Kind() {
	case reflect.Struct:
		return strictObject(data, v)
	case reflect.Slice:
		var list []json.RawMessage
		if err := json.Unmarshal(data, &list); err != nil {
			return errors.New("want a list")
		}
		v.Set(reflect.MakeSlice(v.Type(), len(list), len(list)))
		for i, one := range list {
			if err := strict(one, v.Index(i)); err != nil {
				return under(fmt.Sprintf("[%d]", i), err)
			}
		}
		return nil
	}
	if err := json.Unmarshal(data, v.Addr().Interface()); err != nil {
		if wrong, ok := errors.AsType[*json.UnmarshalTypeError](err); ok {
			return fmt.Errorf("%s: want %s", wrong.Value, wanted(v.Type()))
		}
		return err
	}
	return nil
}

func strictObject(data json.RawMessage, v reflect.Value) error {
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(data, &fields); err != nil {
		return errors.New("want an object")
	}
	for _, f := range reflect.VisibleFields(v.Type()) {
		name := f.Tag.Get("json")
		if name == "" {
			continue // those within it are listed too
		}
		value, ok := fields[name]
		if !ok {
			return under(name, errMissing)
		}
		delete(fields, name)
		if err := strict(value, v.FieldByIndex(f.Index)); err != nil {
			return under(name, err)
		}
	}
	if unknown := slices.Sorted(maps.Keys(fields)); len(unknown) > 0 {
		return under(fmt.Sprintf("%.60q", unknown[0]), errUnknown)
	}
	return nil
}

// wanted says what a value of a type is.
func wanted(t reflect.Type) string {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]()) {
		return "a text"
	}
	switch t.Kind() {
	case reflect.Bool:
		return "true or false"
	case reflect.Float64:
		return "a number"
	case reflect.Int, reflect.Int64, reflect.Uint8:
		return "a whole number, not too large"
	}
	return "a text"
}
