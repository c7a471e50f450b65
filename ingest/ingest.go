// Package ingest is the front door for files: it unpacks what a person hands
// over, tells formats apart by content, holds everything against limits, has
// the format's package read it, and judges once for all formats which samples
// make sense.
//
// It knows readers and bytes. It never opens a file by name, never writes one,
// and knows nothing of the journal: reducing an activity to a session is the
// business of package load, keeping it that of load/journal.
package ingest

import (
	"fmt"
	"time"

	"tidemark/ingest/diary"
	"tidemark/ingest/fit"
	"tidemark/ingest/gpx"
	"tidemark/ingest/mornings"
	"tidemark/ingest/tcx"
	"tidemark/load"
)

// Version is that of decoding and of its judgements. It is raised when a file
// would decode differently, so that what was derived from it is derived anew.
const Version = 2

// Format names what a recording is written in.
type Format string

// The formats.
const (
	FIT      Format = "fit"
	GPX      Format = "gpx"
	TCX      Format = "tcx"
	Diary    Format = "diary"
	Mornings Format = "mornings"
)

// Options is what Decode needs to know besides the bytes.
type Options struct {
	// Limits bounds what is accepted. The zero value stands for DefaultLimits.
	Limits Limits
	// Now is the moment of the import; what lies too far ahead of it is refused.
	// It must be set.
	Now load.Instant
	// Home is the zone in which a diary's rows were typed. Nil stands for UTC.
	Home *time.Location
}

// withDefaults fills in what was left out. It panics if Now is not set.
func (o Options) withDefaults() Options {
	if o.Now == 0 {
		panic("ingest: Decode: Options.Now is not set")
	}
	if o.Limits == (Limits{}) {
		o.Limits = DefaultLimits
	}
	if o.Home == nil {
		o.Home = time.UTC
	}
	return o
}

// window returns the earliest and the latest time that a recording may have.
func (o Options) window() load.Span {
	return load.Span{From: o.Limits.Earliest, To: o.Now.Add(o.Limits.Ahead)}
}

// Decoded is what one recording holds.
type Decoded struct {
	Format Format
	// Activities are in the order of the file, at least one unless there are
	// Rests.
	Activities []load.Activity
	// Rests are the days without training that a diary tells of.
	Rests []load.Day
	// Mornings are what was said of complaints. A file of them holds no activities.
	Mornings []mornings.Row
}

// Decode reads one recording, in whatever format it is, and sieves it: the
// samples of an activity are in strict order of time, with every value in its
// range, and what was dropped for that is in its notes.
//
// The error is one of the sentinels below or a *load.DecodeError around one of
// them or around a reason of the format's own. An activity that is refused
// beside good ones becomes a note on the first of those.
func Decode(data []byte, opt Options) (Decoded, error) {
	opt = opt.withDefaults()
	if len(data) == 0 {
		return Decoded{}, ErrEmpty
	}
	if most := max(opt.Limits.Raw, opt.Limits.Inflated); int64(len(data)) > most {
		return Decoded{}, fmt.Errorf("%w: %s, at most %s", ErrTooLarge, sizeOf(int64(len(data))), sizeOf(most))
	}
	format := sniff(data)
	switch format {
	case Diary:
		return decodeDiary(data, opt)
	case Mornings:
		rows, err := mornings.Decode(data, opt.Home, opt.Now, opt.Limits.Mornings)
		return Decoded{Format: Mornings, Mornings: rows}, err
	}
	activities, err := decodeFormat(format, data, opt.Limits)
	if err == nil {
		activities, err = sieve(activities, opt)
	}
	if err != nil {
		return Decoded{}, at(format, err)
	}
	return Decoded{Format: format, Activities: activities}, nil
}

func decodeFormat(format Format, data []byte, lim Limits) ([]load.Activity, error) {
	switch format {
	case FIT:
		return fit.Decode(data, lim.FIT)
	case GPX:
		return gpx.Decode(data, lim.GPX)
	case TCX:
		return tcx.Decode(data, lim.TCX)
	}
	return nil, fmt.Errorf("%w: %s", ErrUnknownFormat, describe(data))
}

func decodeDiary(data []byte, opt Options) (Decoded, error) {
	lim, window := opt.Limits.Diary, opt.window()
	lim.First = load.DayOf(window.From.Time().In(opt.Home))
	lim.Last = load.DayOf(window.To.Time().In(opt.Home))
	book, err := diary.Decode(data, opt.Home, lim)
	if err != nil {
		return Decoded{}, err
	}
	return Decoded{Format: Diary, Activities: book.Rows, Rests: book.Rests}, nil
}
