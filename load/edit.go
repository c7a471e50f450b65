package load

import (
	"fmt"
	"slices"
	"time"
)

// Edit is what the runner says of one recording that its file could not know.
// The zero Edit says nothing.
type Edit struct {
	Exertion *float64      // session RPE, 0 to 10; nil: the file's
	Parts    *[]EffortPart // instead of one RPE for all of it
	Kind     *Sport        // never UnknownSport; nil: the file's, or judged by speed
	Race     *bool         // nil: the file's
	Surface  *Surface      // nil: the file's
	Distance *Metres       // what the belt said, or what it really was; nil: as measured
	Incline  *Grade        // of a treadmill's belt; nil: the file's
	RunTime  *time.Duration
	Shoe     *string
	Note     *string // nil: the diary's
	Day      *Day    // where the device's clock was wrong; nil: as recorded
	Double   DoubleChoice
	Excluded bool // in the logbook, not in the load
}

// EditField describes one thing that an Edit can say: its key in the journal,
// what it is, and which values it takes, as an error names them.
type EditField struct {
	Key, What, Want string
	set             func(*Edit, string) bool // false: the value is none of Want
	get             func(Edit) string
}

const (
	yesOrNo  = "yes or no"
	maxShoe  = 100  // characters; project default
	maxStory = 2000 // characters of a note; project default
)

// EditTable is the one list of fields, in the order in which they are shown and
// kept. No field takes an empty value: that is for taking it back.
var EditTable = []EditField{
	{
		"exertion", "how hard it was, as session RPE (Foster et al. 2001): all of it, or part by part", "0 to 10, or in parts as 3x40 7x20",
		(*Edit).setExertion,
		Edit.exertion,
	},
	{
		"kind", "what it was", "running, walking, cycling, swimming or other",
		func(e *Edit, v string) bool { return read(&e.Kind, v, parseKind) },
		func(e Edit) string { return write(e.Kind, Sport.String) },
	},
	{
		"race", "whether it was a race", yesOrNo,
		func(e *Edit, v string) bool { return read(&e.Race, v, parseYes) },
		func(e Edit) string { return write(e.Race, formatYes) },
	},
	{
		"surface", "what it was on", "road, trail, track or treadmill",
		func(e *Edit, v string) bool { return read(&e.Surface, v, parseSurface) },
		func(e Edit) string { return write(e.Surface, func(s Surface) string { return string(s) }) },
	},
	{
		"distance", "km that the treadmill's belt said, or that it really was", "0.05 to 500, in km",
		func(e *Edit, v string) bool { return read(&e.Distance, v, parseKM) },
		func(e Edit) string {
			return write(e.Distance, func(m Metres) string { return formatNumber(float64(m) / 1000) })
		},
	},
	{
		"incline", "how steep the treadmill's belt was, in percent", "-10 to 40, in percent",
		func(e *Edit, v string) bool { return read(&e.Incline, v, parsePercent) },
		func(e Edit) string {
			return write(e.Incline, func(g Grade) string { return formatNumber(float64(g) * 100) })
		},
	},
	{
		"run", "minutes of it that were run and not walked", "0 to 6000, in minutes",
		func(e *Edit, v string) bool { return read(&e.RunTime, v, parseMinutes) },
		func(e Edit) string {
			return write(e.RunTime, func(d time.Duration) string { return formatNumber(d.Minutes()) })
		},
	},
	{
		"shoe", "which shoes", "one line of at most 100 characters",
		func(e *Edit, v string) bool { return read(&e.Shoe, v, parseText(maxShoe, "")) },
		func(e Edit) string { return write(e.Shoe, asItIs) },
	},
	{
		"note", "what there is to say about it", "at most 2000 characters",
		func(e *Edit, v string) bool { return read(&e.Note, v, parseText(maxStory, "\n\t")) },
		func(e Edit) string { return write(e.Note, asItIs) },
	},
	{
		"day", "its date, where the device's clock was wrong", "a date from 2000-01-01 to 2100-12-31",
		func(e *Edit, v string) bool { return read(&e.Day, v, parseDay) },
		func(e Edit) string { return write(e.Day, Day.String) },
	},
	{
		"double", "whether it counts where another recording overlaps it", "counts or apart",
		func(e *Edit, v string) bool {
			choice := DoubleChoice(v)
			ok := choice == "" || choice == DoubleCounts || choice == DoubleApart
			if ok {
				e.Double = choice
			}
			return ok
		},
		func(e Edit) string { return string(e.Double) },
	},
	{
		"excluded", "whether it stays in the logbook but out of the load", yesOrNo,
		func(e *Edit, v string) bool {
			yes, ok := parseYes(v)
			if ok || v == "" {
				e.Excluded = yes
			}
			return ok || v == ""
		},
		func(e Edit) string { return formatYes(e.Excluded) },
	},
}

// FindEditField returns the description of a key.
func FindEditField(key string) (EditField, error) {
	i := slices.IndexFunc(EditTable, func(f EditField) bool { return f.Key == key })
	if i < 0 {
		return EditField{}, fmt.Errorf("find edit field %q: no such field", key)
	}
	return EditTable[i], nil
}

// Of returns what e says in the field, in the words that Set takes; empty where
// the file's value stands. "excluded", of which no file speaks, is yes or no.
func (f EditField) Of(e Edit) string { return f.get(e) }

// Set gives a field a value, or with an empty one takes it back to what the file
// says. It fails on an unknown key or a value that the field does not take, and
// then changes nothing. Copies of e that were made before keep what they said.
func (e *Edit) Set(key, value string) error {
	field, err := FindEditField(key)
	if err != nil {
		return err
	}
	if !field.set(e, value) {
		return fmt.Errorf("%s %.40q: want %s", key, value, field.Want)
	}
	return nil
}
