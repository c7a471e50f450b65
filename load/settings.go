package load

import (
	"fmt"
	"math"
	"slices"
)

// Settings are the numbers that whoever is in charge of a runner may change.
// Shares are fractions, distances km, times minutes.
type Settings struct {
	AssumedRestDays float64 // days without a record that are taken as rest
	PopulationSD    float64 // 1: monotony divides by n, not by n-1
	Novice          float64 // 1: running for less than six months

	SessionShare, SessionKM, SessionMin                  float64 // growth of a session and of a day
	WeekShare, WeekMostKM, WeekMostMin, WeekKM, WeekMin  float64 // growth of a week
	BreakWeekShare, LongBreakShare, StepInMin, StepInMPS float64 // after a break
}

// Setting describes one of them: its key in the journal, the unit, the default,
// the range that is accepted and what the default rests on.
type Setting struct {
	Key, Unit         string
	Default, Min, Max float64
	What, Source      string
	field             func(*Settings) *float64
	whole             bool
}

const projectDefault = "project default"

// SettingTable is the one list of settings; pages, checks and the journal read
// it.
var SettingTable = []Setting{
	{"assumed-rest-days", "days", 10, 0, 60, "days without a record that count as rest", projectDefault, func(s *Settings) *float64 { return &s.AssumedRestDays }, true},
	{"population-sd", "switch", 0, 0, 1, "monotony with the population form of the standard deviation", "Foster 2001 does not say which", func(s *Settings) *float64 { return &s.PopulationSD }, true},
	{"novice", "switch", 0, 0, 1, "running for less than six months", projectDefault, func(s *Settings) *float64 { return &s.Novice }, true},
	{"session-share", "share", 0.10, 0, 0.30, "growth of the longest session and day", "Frandsen 2025: the reference class ends at 10 %", func(s *Settings) *float64 { return &s.SessionShare }, false},
	{"session-km", "km", 0.5, 0, 2, "least growth of a session or day", projectDefault, func(s *Settings) *float64 { return &s.SessionKM }, false},
	{"session-min", "min", 3, 0, 15, "least growth of a session or day", projectDefault, func(s *Settings) *float64 { return &s.SessionMin }, false},
	{"week-share", "share", 0.30, 0, 0.60, "growth of the week", "Nielsen 2014: weak", func(s *Settings) *float64 { return &s.WeekShare }, false},
	{"week-most-km", "km", 12, 1, 40, "most that a week may grow by share", projectDefault, func(s *Settings) *float64 { return &s.WeekMostKM }, false},
	{"week-most-min", "min", 60, 5, 240, "most that a week may grow by share", projectDefault, func(s *Settings) *float64 { return &s.WeekMostMin }, false},
	{"week-km", "km", 2, 0, 10, "least growth of a week", projectDefault, func(s *Settings) *float64 { return &s.WeekKM }, false},
	{"week-min", "min", 10, 0, 60, "least growth of a week", projectDefault, func(s *Settings) *float64 { return &s.WeekMin }, false},
	{"break-week-share", "share", 0.75, 0.25, 1, "of the week before a break of 8 to 14 days", projectDefault, func(s *Settings) *float64 { return &s.BreakWeekShare }, false},
	{"long-break-share", "share", 0.5, 0.1, 1, "of sessions, days and week before a break of 15 to 28 days", projectDefault, func(s *Settings) *float64 { return &s.LongBreakShare }, false},
	{"step-in-min", "min", 20, 1, 60, "a first run with nothing to go by", projectDefault, func(s *Settings) *float64 { return &s.StepInMin }, false},
	{"step-in-speed", "m/s", 2.4, 1.4, 4, "easy speed by which a first run in minutes becomes a distance", "slowest preferred speed measured by van Oeveren 2017", func(s *Settings) *float64 { return &s.StepInMPS }, false},
}

// DefaultSettings returns every setting at its default.
func DefaultSettings() Settings {
	var s Settings
	for _, def := range SettingTable {
		*def.field(&s) = def.Default
	}
	return s
}

// FindSetting returns the description of a key.
func FindSetting(key string) (Setting, error) {
	i := slices.IndexFunc(SettingTable, func(def Setting) bool { return def.Key == key })
	if i < 0 {
		return Setting{}, fmt.Errorf("find setting %q: no such setting", key)
	}
	return SettingTable[i], nil
}

// Check reports why v cannot be the setting's value.
func (def Setting) Check(v float64) error {
	if math.IsNaN(v) || v < def.Min || v > def.Max {
		return fmt.Errorf("set %s: want %g to %g %s, not %g", def.Key, def.Min, def.Max, def.Unit, v)
	}
	if def.whole && v != math.Trunc(v) {
		return fmt.Errorf("set %s: want a whole number, not %g", def.Key, v)
	}
	return nil
}

// Change is one setting that somebody gave a new value, from a day on.
type Change struct {
	Key   string
	From  Day
	Value float64
}

// Schedule is the settings of a runner over time: what held on a day is what
// counts for that day, whatever was changed later.
type Schedule struct {
	from     []Day
	settings []Settings
}

// NewSchedule orders changes by day, later entries of one day standing over
// earlier ones. It fails on an unknown key or a value out of range.
func NewSchedule(changes []Change) (Schedule, error) {
	sched := Schedule{from: []Day{math.MinInt32}, settings: []Settings{DefaultSettings()}}
	changes = slices.Clone(changes)
	slices.SortStableFunc(changes, func(a, b Change) int { return int(a.From) - int(b.From) })
	for _, c := range changes {
		def, err := FindSetting(c.Key)
		if err != nil {
			return Schedule{}, err
		}
		if err := def.Check(c.Value); err != nil {
			return Schedule{}, err
		}
		last := len(sched.from) - 1
		if sched.from[last] != c.From {
			sched.from = append(sched.from, c.From)
			sched.settings = append(sched.settings, sched.settings[last])
			last++
		}
		*def.field(&sched.settings[last]) = c.Value
	}
	return sched, nil
}

// On returns what holds on day. The zero Schedule holds the defaults.
func (s Schedule) On(day Day) Settings {
	i := len(s.from) - 1
	for i >= 0 && s.from[i] > day {
		i--
	}
	if i < 0 {
		return defaults
	}
	return s.settings[i]
}

var defaults = DefaultSettings()
