package journal

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"time"
	"unicode/utf8"

	"tidemark/load"
	"tidemark/load/rehab"
)

// The bounds of what comes from elsewhere; project defaults.
const (
	mostText = 64 << 10       // bytes, as much as a form on a page may hold
	mostRows = 500_000        // in all lists: ten years of everything, daily, are some 50,000
	ahead    = 48 * time.Hour // that a clock may be, as of recordings
)

var (
	firstDay = load.Date(1900, time.January, 1)
	lastDay  = load.Date(2100, time.December, 31)
)

// KeptError says which row of a list cannot be kept, and why.
type KeptError struct {
	List string // as History names it, or the noun
	Row  int    // from 0
	Err  error
}

func (e *KeptError) Error() string { return fmt.Sprintf("%s %d: %v", e.List, e.Row+1, e.Err) }

func (e *KeptError) Unwrap() error { return e.Err }

// Check reports why k cannot be taken over at an instant: what a journal would not have
// taken from a person, or could not read again. The error is a *KeptError where one row is
// at fault.
func (k *Kept) Check(now load.Instant) error {
	c := keptCheck{k: k, today: load.DayOf(now.Add(ahead).Time()), until: now.Add(ahead)}
	if _, err := newRunner(k.Name, k.Home, k.FirstUse); err != nil {
		return err
	}
	if err := c.bounds(reflect.ValueOf(*k)); err != nil {
		return err
	}
	if c.rows > mostRows {
		return fmt.Errorf("%d rows: want at most %d", c.rows, mostRows)
	}
	for _, check := range []func() error{c.recordings, c.said, c.complaints, c.named, c.followed, c.ramps, c.findings} {
		if err := check(); err != nil {
			return err
		}
	}
	_, err := schedule(k.Settings)
	return err
}

type keptCheck struct {
	k     *Kept
	today load.Day // the last that has come anywhere
	until load.Instant
	rows  int
	site  map[string]rehab.Site // of complaints by ID
}

// each checks the rows of a list and says which one is at fault.
func each[T any](list string, rows []T, check func(*T) error) error {
	for i := range rows {
		if err := check(&rows[i]); err != nil {
			return &KeptError{list, i, err}
		}
	}
	return nil
}

// bounds looks at every value, whatever noun it is of.
func (c *keptCheck) bounds(v reflect.Value) error {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if err := c.bounds(v.Field(i)); err != nil {
				return fmt.Errorf("%s: %w", strings.ToLower(v.Type().Field(i).Name), err)
			}
		}
	case reflect.Slice:
		c.rows += v.Len()
		for i := range v.Len() {
			if err := c.bounds(v.Index(i)); err != nil {
				return fmt.Errorf("row %d: %w", i+1, err)
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			return c.bounds(v.Elem())
		}
	case reflect.String:
		if v.Type() == personType {
			return checkName(v.String())
		}
		return checkText(v.String())
	case reflect.Int32:
		if day := load.Day(v.Int()); v.Type() == reflect.TypeFor[load.Day]() && (day < firstDay || day > lastDay) {
			return fmt.Errorf("%v: want a day from %v to %v", day, firstDay, lastDay)
		}
	case reflect.Int64:
		if at := load.Instant(v.Int()); v.Type() == reflect.TypeFor[load.Instant]() && (at < load.InstantOf(firstDay.Noon()) || at > c.until) {
			return fmt.Errorf("%s: it has not come yet, or was before %v", at.Time().Format(time.RFC3339), firstDay)
		}
	}
	return nil
}

func checkText(text string) error {
	switch {
	case len(text) > mostText:
		return fmt.Errorf("a text of %d bytes: want at most %d", len(text), mostText)
	case !utf8.ValidString(text):
		return errors.New("a text that is not UTF-8")
	case strings.IndexByte(text, 0) >= 0:
		return errors.New("a text with a zero byte")
	}
	return nil
}
