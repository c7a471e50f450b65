package load

import (
	"fmt"
	"slices"
)

// Level is how loudly a finding speaks.
type Level uint8

// The levels, rising.
const (
	Remark Level = iota // "note"
	Caution
	Stop
)

var levelNames = [...]string{"note", "caution", "stop"}

func (l Level) String() string { return levelNames[l] }

// MarshalText returns note, caution or stop.
func (l Level) MarshalText() ([]byte, error) { return []byte(l.String()), nil }

// UnmarshalText is the inverse of MarshalText.
func (l *Level) UnmarshalText(text []byte) error {
	i := slices.Index(levelNames[:], string(text))
	if i < 0 {
		return fmt.Errorf("read level %q: want one of %v", text, levelNames)
	}
	*l = Level(i)
	return nil
}

// Evidence is one thing that a finding rests on: what was measured on a day,
// against which limit, and how well the rule itself is supported.
type Evidence struct {
	Rule     string
	Day      Day
	Subject  string // session, or first day of the episode
	Level    Level
	Value    float64 // in Unit
	Limit    float64 // in Unit
	Unit     string
	Text     string // one sentence with the numbers
	Source   string // who showed it, or "project default"
	Strength string // how well
}

// Finding is one warning. There is one a cause and episode: what comes later in
// the same episode joins it as evidence. Its state (open, seen, ...) is no part
// of it and lives in the journal.
type Finding struct {
	ID      string // rule and subject, so it keeps its name when values change
	Rule    string
	Level   Level // the highest of the evidence
	Subject string
	Day     Day // of the first evidence
	LastDay Day // of the latest
	Value   float64
	Limit   float64
	Unit    string
	Advice  string

	Evidence []Evidence // in order of day; the first is the finding's own
}
