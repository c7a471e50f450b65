package load

import (
	"fmt"
	"slices"
)

// Measure is one way to say how much a session asked of the tendon.
type Measure uint8

// The measures so far. Distance and Time take the whole run as the watch says
// it, RunDistance and RunTime its running parts; Flat is the flat-equivalent
// distance (Minetti et al. 2002, J Appl Physiol 93:1039); Exertion is session-RPE
// times minutes (Foster et al. 2001, J Strength Cond Res 15:109); Steps counts
// both feet. Heart is the heart-rate impulse in TRIMP (see Settings.Amount) and
// Tendon the relative load of the Achilles tendon (see tendon.go); both depend on
// what the runner said of themselves.
const (
	Distance Measure = iota
	Time
	RunDistance
	RunTime
	Flat
	Exertion
	Heart
	Steps
	Tendon
	measures
)

// Measures lists all of them.
var Measures = []Measure{Distance, Time, RunDistance, RunTime, Flat, Exertion, Heart, Steps, Tendon}

// Amount is a quantity of some measure in its smallest whole part, so that sums
// are exact and zero stays zero: millimetres, milliseconds, thousandths of an
// arbitrary unit, single steps.
type Amount int64

// dimension is what a measure counts in.
type dimension uint8

const (
	score dimension = iota // of no limit
	length
	duration
)

// measureTable gives the name, the unit people read, how many smallest parts make
// one of it, what it counts in, and the least chronic load per week that a ratio may
// be of (load reference 3.3, project default).
var measureTable = [measures]struct {
	name, unit string
	parts      float64
	dimension  dimension
	ratioFloor float64
}{
	Distance:    {"distance", "km", 1e6, length, 5},
	Time:        {"time", "min", 60e3, duration, 30},
	RunDistance: {"run_distance", "km", 1e6, length, 5},
	RunTime:     {"run_time", "min", 60e3, duration, 30},
	Flat:        {"flat", "km", 1e6, length, 5},
	Exertion:    {"exertion", "AU", 1e3, score, 0},
	Heart:       {"heart", "TRIMP", 1e3, score, 0},
	Steps:       {"steps", "count", 1, score, 0},
	Tendon:      {"tendon", "km", 1e6, score, 0},
}

func (m Measure) String() string { return measureTable[m].name }

// Unit returns the unit of In: km, min, AU, TRIMP or count. The km of Tendon are
// those at 3 m/s on the level that would ask as much of it.
func (m Measure) Unit() string { return measureTable[m].unit }

// IsLength reports whether the measure counts km of way.
func (m Measure) IsLength() bool { return measureTable[m].dimension == length }

// IsTime reports whether the measure counts in minutes.
func (m Measure) IsTime() bool { return measureTable[m].dimension == duration }

// In returns a in the measure's unit.
func (m Measure) In(a Amount) float64 { return float64(a) / measureTable[m].parts }

// Of returns v, given in the measure's unit, to the nearest whole part.
func (m Measure) Of(v float64) Amount { return Amount(roundHalfAway(v * measureTable[m].parts)) }

// MarshalText returns the measure's name.
func (m Measure) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText is the inverse of MarshalText.
func (m *Measure) UnmarshalText(text []byte) error {
	i := slices.IndexFunc(Measures, func(m Measure) bool { return m.String() == string(text) })
	if i < 0 {
		return fmt.Errorf("read measure %q: want one of %v", text, Measures)
	}
	*m = Measures[i]
	return nil
}

// Amounts holds one session's amount of every measure it has.
type Amounts struct {
	values [measures]Amount
	has    [measures]bool
}

// Get returns the amount of m; ok is false where the session lacks it.
func (a *Amounts) Get(m Measure) (amount Amount, ok bool) { return a.values[m], a.has[m] }

// Set records the amount of m, which panics if it is negative: no measure runs
// backwards.
func (a *Amounts) Set(m Measure, amount Amount) {
	if amount < 0 {
		panic(fmt.Sprintf("load: Set: negative %v %d", m, amount))
	}
	a.values[m], a.has[m] = amount, true
}

func roundHalfAway(v float64) float64 {
	if v < 0 {
		return float64(int64(v - 0.5))
	}
	return float64(int64(v + 0.5))
}
