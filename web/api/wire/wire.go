// Package wire holds the structs that leave the program as JSON, of the API and
// of the commands alike: the same things in the same words. Numbers are SI or
// carry the unit in their name, undefined ones are null, days are YYYY-MM-DD,
// instants RFC 3339 with the offset of where they were.
//
// It only translates. What the numbers mean is the business of load.
package wire

import (
	"time"

	"tidemark/load"
)

// Instant is a moment on the clock of where it was.
func Instant(at load.Instant, offset time.Duration) string {
	return at.In(offset).Format("2006-01-02T15:04:05.999Z07:00")
}

// number is a value that may be null.
func number(v load.Value) *float64 {
	if n, ok := v.Get(); ok {
		return &n
	}
	return nil
}

// positive is null where zero means "none".
func positive(v float64) *float64 {
	if v > 0 {
		return &v
	}
	return nil
}

// text is null where it is empty.
func text(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}
