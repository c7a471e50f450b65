package load

import (
	"fmt"
	"time"
)

// Day is a civil date of the runner as a day number: 1970-01-01 is 0. It is not
// an instant and has no length in hours. Days apart are differences of numbers.
type Day int32

// DayOf returns the civil date that the clock of t shows.
func DayOf(t time.Time) Day {
	y, m, d := t.Date()
	return Date(y, m, d)
}

// Date returns the day of a civil date; months and days beyond their range
// carry over as in time.Date.
func Date(year int, month time.Month, day int) Day {
	return Day((time.Date(year, month, day, 12, 0, 0, 0, time.UTC).Unix() - 43200) / 86400)
}

// ParseDay reads YYYY-MM-DD.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("read day %q: want YYYY-MM-DD", s)
	}
	return DayOf(t), nil
}

// Noon returns 12:00 UTC of the day, an instant for calendar arithmetic and
// formatting only.
func (d Day) Noon() time.Time { return time.Unix(int64(d)*86400+43200, 0).UTC() }

// Weekday returns the day of the week.
func (d Day) Weekday() time.Weekday { return d.Noon().Weekday() }

// String returns YYYY-MM-DD.
func (d Day) String() string { return d.Noon().Format(time.DateOnly) }

// Spoken returns the day as it stands in a sentence: 2 March 2026.
func (d Day) Spoken() string { return d.Noon().Format("2 January 2006") }

// MarshalText returns YYYY-MM-DD.
func (d Day) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads YYYY-MM-DD.
func (d *Day) UnmarshalText(text []byte) (err error) {
	*d, err = ParseDay(string(text))
	return err
}
