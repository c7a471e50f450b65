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
// both feet.
const (
	Distance Measure = iota
	Time
	RunDistance
	RunTime
	Flat
	Exertion
	Steps
	measures
)

// Measures lists all of them.
var Measures = []Measure{Distance, Time, RunDistance, RunTime, Flat, Exertion, Steps}

// Amount is a quantity of some measure in its smallest whole part, so that sums
// are exact and zero stays zero: millimetres, milliseconds, thousandths of an
// arbitrary unit, single steps.
type Amount int64

// measureTable gives the name, the unit people read and how many smallest parts
// make one of it.
var measureTable = [measures]struct {
	name, unit string
	parts      float64
}{
	Distance:    {"distance", "km", 1e6},
	Time:        {"time", "min", 60e3},
	RunDistance: {"run_distance", "km", 1e6},
	RunTime:     {"run_time", "min", 60e3},
	Flat:        {"flat", "km", 1e6},
	Exertion:    {"exertion", "AU", 1e3},
	Steps:       {"steps", "count", 1},
}

func (m Measure) String() string { return measureTable[m].name }

// Unit returns the unit of In: km, min, AU or count.
func (m Measure) Unit() string { return measureTable[m].unit }

// IsLength reports whether the measure counts in km.
func (m Measure) IsLength() bool { return m.Unit() == "km" }

// IsTime reports whether the measure counts in minutes.
func (m Measure) IsTime() bool { return m.Unit() == "min" }

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
