package diary

import (
	"time"

	"tidemark/load"
)

// reading says how often the clocks of a zone showed some time of some day.
type reading uint8

const (
	once reading = iota
	twice
	skipped
)

// at returns the instant at which the clocks of loc showed a time of day. Of a
// time that came twice it takes the first. A time that was skipped is counted
// on with the offset before the change, so that 02:30 becomes 03:30 and stays
// on its day; only where a zone left out a whole day it cannot.
//
// time.Date promises neither: it takes 00:10 on the day of a change at midnight
// back to 23:10 of the day before.
func at(day load.Day, hour, minute int, loc *time.Location) (load.Instant, reading) {
	y, m, d := day.Noon().Date()
	wall := time.Date(y, m, d, hour, minute, 0, 0, time.UTC)
	// No zone is or was more than 16 hours off UTC, so these two instants lie
	// on either side of the one looked for.
	const far = 16 * time.Hour
	before, after := offsetAt(wall.Add(-far), loc), offsetAt(wall.Add(far), loc)

	first, second := wall.Add(-before), wall.Add(-after)
	okFirst, okSecond := offsetAt(first, loc) == before, offsetAt(second, loc) == after
	switch {
	case okFirst && okSecond && !first.Equal(second):
		return min(load.InstantOf(first), load.InstantOf(second)), twice
	case okFirst:
		return load.InstantOf(first), once
	case okSecond:
		return load.InstantOf(second), once
	}
	return load.InstantOf(first), skipped
}

func offsetAt(t time.Time, loc *time.Location) time.Duration {
	_, seconds := t.In(loc).Zone()
	return time.Duration(seconds) * time.Second
}
