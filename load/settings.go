package load

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// Settings are the numbers that whoever is in charge of a runner may change, and
// what only the runner knows. Shares are fractions, distances km, times minutes,
// heart rates bpm; zero stands for what was not said.
type Settings struct {
	AssumedRestDays float64 // days without a record that are taken as rest
	PopulationSD    float64 // 1: monotony divides by n, not by n-1

	SessionShare, SessionKM, SessionMin                  float64 // growth of a session and of a day
	WeekShare, WeekMostKM, WeekMostMin, WeekKM, WeekMin  float64 // growth of a week
	BreakWeekShare, LongBreakShare, StepInMin, StepInMPS float64 // after a break

	JumpShare, JumpKM, JumpMin                             float64 // over the best held week
	FastFactor, DemandShare, FastMin, AscentM, TendonLeast float64 // a new demand
	RatioRule, RatioLimit, MonotoneRule, MonotoneLimit     float64 // off unless switched on
	Novice                                                 float64 // 1: running for less than six months
	BaselineLongestKM, BaselineLongestMin, BaselineRuns    float64 // a newcomer's answers
	BaselineWeekKM, BaselineWeekMin                        float64
	HeartMaxBPM, HeartRest, BirthYear                      float64
	HeartFormula, HeartMethod, HeartConstants              float64 // choices
	Strike                                                 float64 // a choice: how the foot lands
	MinimalShoes                                           float64 // 1: minimal shoes, or none
	BaselineDay                                            Day     // from which the latest baseline answer holds
}

// Setting describes one of them: its key in the journal, the unit, the default,
// the range that is accepted and what the default rests on.
type Setting struct {
	Group             Group
	Key, Unit         string // unit "switch": 0 or 1; "choice": the index of an option
	Default, Min, Max float64
	What, Source      string
	Options           []string // of a choice
	Optional          bool     // 0 stands for "not said"
	field             func(*Settings) *float64
	whole             bool
}

// Group is what a setting belongs to.
type Group string

// The groups, in the order in which they are shown.
const (
	GroupRunner   Group = "runner"
	GroupHeart    Group = "heart"
	GroupTendon   Group = "tendon"
	GroupLimits   Group = "limits"
	GroupWarnings Group = "warnings"
	GroupWindows  Group = "windows"
)

// Groups lists them.
var Groups = []Group{GroupRunner, GroupHeart, GroupTendon, GroupLimits, GroupWarnings, GroupWindows}

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
	if def.Optional && v == 0 {
		return nil
	}
	if math.IsNaN(v) || v < def.Min || v > def.Max {
		return fmt.Errorf("set %s: want %s, not %g", def.Key, def.Range(), v)
	}
	if def.whole && v != math.Trunc(v) {
		return fmt.Errorf("set %s: want a whole number, not %g", def.Key, v)
	}
	return nil
}

// Range says which values the setting takes.
func (def Setting) Range() string {
	switch def.Unit {
	case "switch":
		return "0 or 1"
	case "choice":
		return fmt.Sprintf("one of 0 to %d", len(def.Options)-1)
	}
	text := fmt.Sprintf("%g to %g %s", def.Min, def.Max, def.Unit)
	if def.Optional {
		text += ", or 0 for not said"
	}
	return text
}

// Of returns the setting's value in s.
func (def Setting) Of(s Settings) float64 { return *def.field(&s) }

// SettingsError says why settings cannot hold together.
type SettingsError struct{ Text string }

func (e *SettingsError) Error() string { return e.Text }

// Check reports why the settings cannot hold together, as a *SettingsError.
func (s *Settings) Check() error {
	if s.HeartMaxBPM > 0 && s.HeartMaxBPM < s.HeartRest+leastReserve {
		return &SettingsError{fmt.Sprintf("the highest heart rate, %g bpm, is not at least %d above the rate at rest, %g bpm", s.HeartMaxBPM, leastReserve, s.HeartRest)}
	}
	return nil
}

// leastReserve is the least that a highest heart rate lies above the rate at rest, in
// bpm; project default.
const leastReserve = 30

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
// earlier ones. It fails on an unknown key, a value out of range, or settings that
// cannot hold together.
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
		if strings.HasPrefix(c.Key, baselineKeys) {
			sched.settings[last].BaselineDay = c.From
		}
	}
	for i := range sched.settings {
		if err := sched.settings[i].Check(); err != nil {
			return Schedule{}, fmt.Errorf("settings from %v on: %w", sched.from[i], err)
		}
	}
	return sched, nil
}

// On returns what holds on day. The zero Schedule holds the defaults.
func (s Schedule) On(day Day) Settings { return *s.on(day) }

// on is On without a copy, only to be read.
func (s *Schedule) on(day Day) *Settings {
	i := len(s.from) - 1
	for i >= 0 && s.from[i] > day {
		i--
	}
	if i < 0 {
		return &defaults
	}
	return &s.settings[i]
}

var defaults = DefaultSettings()
