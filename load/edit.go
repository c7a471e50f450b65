package load

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Edit is what the runner says of one recording that its file could not know.
// The zero Edit says nothing.
type Edit struct {
	Exertion *float64 // session RPE, 0 to 10; nil: the file's
	Kind     *Sport   // never UnknownSport; nil: the file's, or judged by speed
	Race     *bool    // nil: the file's
	Excluded bool     // in the logbook, not in the load
}

// EditField describes one thing that an Edit can say: its key in the journal,
// what it is, and which values it takes, as an error names them.
type EditField struct {
	Key, What, Want string
	set             func(*Edit, string) bool // false: the value is none of Want
	get             func(Edit) string
}

const yesOrNo = "yes or no"

// EditTable is the one list of fields, in the order in which they are shown and
// kept. No field takes an empty value: that is for taking it back.
var EditTable = []EditField{
	{
		"exertion", "how hard all of it was, as session RPE (Foster et al. 2001)", "0 to 10",
		func(e *Edit, v string) bool { return read(&e.Exertion, v, parseExertion) },
		func(e Edit) string { return write(e.Exertion, formatExertion) },
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

// Reduce is the function Reduce with what the runner says: exertion and kind
// stand for the activity's own before anything is measured, so that a kind that
// was said is not judged by speed. The activity is not changed.
func (e Edit) Reduce(id string, a *Activity, zone Zone) Session {
	edited := *a
	if e.Exertion != nil {
		edited.Exertion, edited.HasExertion = *e.Exertion, true
	}
	if e.Kind != nil && *e.Kind != a.Sport {
		edited.become(*e.Kind)
	}
	s := Reduce(id, &edited, zone)
	if e.Race != nil {
		s.Race = *e.Race
	}
	s.Excluded = e.Excluded
	return s
}

// become makes the activity one of another kind. A typed row has run all of a run
// and nothing of the rest, unless it says which part.
func (a *Activity) become(kind Sport) {
	a.Sport = kind
	if a.Typed == nil {
		return
	}
	row, whole := *a.Typed, cmp.Or(a.Totals.Timer, a.Totals.Elapsed)
	switch {
	case kind == Running && row.RunTime == 0:
		row.RunTime = whole
	case kind != Running && row.RunTime == whole:
		row.RunTime = 0
	}
	a.Typed = &row
}

// read sets the field to a value of its own, or to nil if the text is empty.
func read[T any](field **T, text string, parse func(string) (T, bool)) bool {
	if text == "" {
		*field = nil
		return true
	}
	v, ok := parse(text)
	if ok {
		*field = &v
	}
	return ok
}

func write[T any](field *T, format func(T) string) string {
	if field == nil {
		return ""
	}
	return format(*field)
}

// parseExertion reads digits with a decimal point or comma, and no other form of
// a number: no sign, exponent, infinity or NaN.
func parseExertion(text string) (rpe float64, ok bool) {
	if strings.Trim(text, "0123456789.,") != "" {
		return 0, false
	}
	rpe, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
	return rpe, err == nil && rpe <= maxExertion
}

func formatExertion(rpe float64) string { return strconv.FormatFloat(rpe, 'f', -1, 64) }

// parseKind leaves out the sport that says nothing.
func parseKind(text string) (Sport, bool) {
	kind, err := ParseSport(text)
	return kind, err == nil && kind != UnknownSport
}

func parseYes(text string) (yes, ok bool) { return text == "yes", text == "yes" || text == "no" }

func formatYes(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
