package load

import "time"

// CadenceCount says what the cadence of an activity's samples counts.
type CadenceCount uint8

// One foot's strides are half the steps. Where a file does not say, Reduce
// decides from the numbers.
const (
	CadenceUnsaid CadenceCount = iota
	CadenceOneFoot
	CadenceBothFeet
)

// AltitudeKind says what measured the altitudes of an activity.
type AltitudeKind uint8

// A barometer is smoothed less than a receiver. Where a file does not say, it is
// taken for a receiver.
const (
	AltitudeUnsaid AltitudeKind = iota
	AltitudeBarometer
)

// Span is a stretch of time, To not before From.
type Span struct{ From, To Instant }

// Duration returns the length of s.
func (s Span) Duration() time.Duration { return s.To.Sub(s.From) }

// Lap is one lap as the device marked it. Zero is "not given".
type Lap struct {
	Span
	Timer    time.Duration
	Distance Metres
}

// Totals are the sums that the device wrote for a whole activity. Zero is "not
// given".
type Totals struct {
	Elapsed, Timer  time.Duration
	Distance        Metres
	Ascent, Descent Metres
	Steps           int
}

// Activity is one recording as the file tells it, in the units of this package
// and before any cleaning: one sport, one start. A file may hold several.
//
// Samples are in strict order of time. An activity without samples has Totals.
type Activity struct {
	Sport   Sport
	Detail  string // the file's own word for the sport where ours is coarser
	Surface Surface
	Name    string
	Device  string

	Start    Instant
	Samples  []Sample
	Pauses   []Span // while the device's timer stood, in order
	Laps     []Lap
	Totals   Totals
	Cadence  CadenceCount
	Altitude AltitudeKind

	// Offset is the file's own local time ahead of UTC.
	Offset    time.Duration
	HasOffset bool

	// Typed is what a person wrote in a diary rather than a watch measured.
	Typed *Typed
	// Exertion is the session RPE on 0 to 10, if the file has it.
	Exertion    float64
	HasExertion bool
	// Parts are what the runner said instead of one number for the whole.
	Parts []EffortPart

	Notes Notes
}

// Typed is a row of a diary: totals without samples, on a civil day.
type Typed struct {
	Day      Day
	Clock    time.Duration // time of day as typed, since midnight
	HasStart bool          // false: Clock is 12:00 by convention
	RunTime  time.Duration // the running part of the duration
	Race     bool
	Note     string
}

// On returns the instant at which a clock that runs offset ahead of UTC showed the
// row's day and time of day.
func (t *Typed) On(offset time.Duration) Instant {
	return InstantOf(t.Day.Noon()).Add(t.Clock - 12*time.Hour - offset)
}

// End returns the last instant that the activity knows of.
func (a *Activity) End() Instant {
	end := a.Start.Add(max(a.Totals.Elapsed, a.Totals.Timer))
	if n := len(a.Samples); n > 0 {
		end = max(end, a.Samples[n-1].At)
	}
	return end
}
