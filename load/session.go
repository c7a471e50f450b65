package load

import "time"

// ZoneSource says what a run's local time rests on, best first.
type ZoneSource string

// The sources of a zone.
const (
	ZoneFromFile        ZoneSource = "file"
	ZoneFromCoordinates ZoneSource = "coordinates"
	ZoneFromHome        ZoneSource = "home"
)

// Zone is the decision in which local time a run started. It is made once, at
// import, and kept, so that no later change of rules moves a day.
type Zone struct {
	Name   string        // IANA name, or empty where only the offset is known
	Offset time.Duration // ahead of UTC, at the start
	Source ZoneSource
}

// DistanceSource says where a session's distance is from.
type DistanceSource string

// The sources of a distance.
const (
	DistanceFromDevice  DistanceSource = "device"
	DistanceFromTrack   DistanceSource = "track"
	DistanceFromSession DistanceSource = "session"
	DistanceTyped       DistanceSource = "typed"
)

// StepsSource says where a session's steps are from.
type StepsSource string

// The sources of a count of steps.
const (
	StepsFromCadence StepsSource = "cadence"
	StepsFromSpeed   StepsSource = "speed"
	StepsTyped       StepsSource = "typed"
)

// DoubleChoice is what the runner says of a recording that overlaps another.
type DoubleChoice string

// The choices. The empty one leaves it to Doubles.
const (
	DoubleCounts DoubleChoice = "counts" // this one counts, whichever is richer
	DoubleApart  DoubleChoice = "apart"  // a run of its own
)

// Session is what one activity asked of the runner: an activity reduced to its
// sums. Days, windows and limits are made of sessions.
type Session struct {
	ID      string // recording and start second; see journal
	Day     Day    // civil date of the start where the run started
	Start   Instant
	End     Instant
	NoStart bool // a diary row without a time; Start is 12:00 by convention
	Zone    Zone

	Sport    Sport
	Detail   string
	Surface  Surface
	Race     bool
	Typed    bool         // from a diary, not from a watch
	Excluded bool         // by the runner: in the logbook, not in the load
	Double   DoubleChoice // by the runner, where two recordings are of one run
	Shoe     string       // as the runner calls it
	Note     string       // what the runner wrote about it

	Elapsed, Timer, Moving time.Duration
	RunTime, WalkTime      time.Duration
	RunSpells              int // times that running began, after a walk or a stop

	Distance       Metres
	DistanceSource DistanceSource // empty: no distance
	DeviceDistance Metres         // zero: none
	TrackDistance  Metres         // zero: none

	// FlatACSM is the flat-equivalent distance with the other cost of climbing, the
	// other end of the band of the measure Flat. Zero: no elevation is known, and Flat
	// is the distance.
	FlatACSM Metres

	Ascent, Descent Metres
	HasAscent       bool

	// TendonBand is the measure Tendon by the lowest and the highest power.
	TendonBand [2]Amount

	HeartMean, HeartMax BPM           // zero: none
	HeartPeak           BPM           // the highest median of 10 s; zero: none
	HeartTimes          Dwell         // time at each heart rate, by bpm
	HeartCovered        time.Duration // of the moving time
	Speeds              Dwell         // time of running at each speed, by tenths of m/s

	CadenceMean Cadence // zero: none
	Steps       int
	StepsSource StepsSource // empty: none

	Points, Laps int
	HasPositions bool
	Device       string
	Measures     Amounts
	Notes        Notes
}
