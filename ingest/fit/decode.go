// Package fit reads activities from FIT files, the binary format of most
// watches.
//
// It is driven by the definition messages in the file: sizes come from them and
// never from a profile, so that what a maker adds or changes is skipped and
// nothing else is lost. It reads recordings only, no courses, workouts or
// settings; it cleans nothing, and checks no date, position or heart rate
// beyond what FIT itself marks as invalid. That is done for all formats alike
// in package ingest.
package fit

import (
	"fmt"

	"tidemark/load"
)

// Limits bounds what one file may make the reader do. What is over a limit is
// left out and noted.
type Limits struct {
	Messages int // data messages of any kind
	Sessions int
	Laps     int
	Events   int // of the timer
	Parts    int // files chained in one
}

// DefaultLimits are far above what a watch writes in a week. Project defaults.
var DefaultLimits = Limits{
	Messages: 2_000_000,
	Sessions: 500,
	Laps:     5_000,
	Events:   50_000,
	Parts:    1_000,
}

// Decode reads the activities of a FIT file, or of several chained ones, in the
// order of the file. Samples are one a record that has a time, in file order.
//
// A damaged file gives what was whole in it, with notes; only when that is
// nothing Decode fails, with no activities and a *load.DecodeError.
func Decode(data []byte, lim Limits) ([]load.Activity, error) {
	c := chain{data: data, left: lim}
	next := c.add(0)
	for c.left.Parts > 0 && Sniff(data[next:]) {
		next = c.add(next)
	}
	return c.result(len(data) - next)
}

// chain gathers the activities of the parts of a file.
type chain struct {
	data []byte
	left Limits

	found    []load.Activity
	err      error // why the first part without a recording has none
	unread   int   // parts without a recording
	backfill int   // parts with heart rates alone
}

// add reads the part at a position and returns where the next may begin.
func (c *chain) add(at int) (next int) {
	c.left.Parts--
	x, err := locate(c.data, at, c.left.Messages)
	if err != nil {
		c.refuse(at, err)
		return len(c.data)
	}
	p := read(c.data, x, &c.left)
	if len(c.found) > 0 && p.backfill() {
		c.backfill++
		return x.next
	}
	activities, err := p.activities()
	switch {
	case err != nil && p.fault != nil:
		c.refuse(p.stop, fmt.Errorf("%w: %w", err, p.fault))
	case err != nil:
		c.refuse(at, err)
	}
	c.found = append(c.found, activities...)
	return x.next
}

// refuse counts a part without a recording.
func (c *chain) refuse(at int, err error) {
	c.unread++
	if c.err == nil {
		c.err = &load.DecodeError{Format: "fit", Offset: int64(at), Err: err}
	}
}

func (c *chain) result(trailing int) ([]load.Activity, error) {
	if len(c.found) == 0 {
		return nil, c.err
	}
	notes := &c.found[len(c.found)-1].Notes
	if c.backfill > 0 {
		notes.Add(load.NoteSkipped, "parts of the file that only add heart rates afterwards were left out: %d", c.backfill)
	}
	if c.unread > 0 {
		notes.Add(load.NoteSkipped, "parts of the file without a recording that can be read were left out: %d; the first: %v", c.unread, c.err)
	}
	if trailing > 0 {
		notes.Add(load.NoteTrailing, "%d bytes after the end of the recording were left out", trailing)
	}
	return c.found, nil
}
