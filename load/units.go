package load

import (
	"math"
	"time"
)

// Metres is a length: of a track, a step of it, or an altitude above the
// reference the watch uses.
type Metres float64

// Speed is in metres per second.
type Speed float64

// Degrees is a geographic latitude (-90 to 90) or longitude (-180 to 180).
type Degrees float64

// BPM is a heart rate in beats per minute. Zero is not a heart rate.
type BPM uint8

// Cadence is in steps per minute of both feet, unless the activity says that
// its samples count one foot (see CadenceCount).
type Cadence float64

// Grade is a gradient: the rise over the run, 0.05 for 5 %. Downhill is negative. It is
// of 32 bits, so that a Sample stays one cache line.
type Grade float32

// Position is a point on the WGS84 ellipsoid.
type Position struct{ Lat, Lon Degrees }

// Valid reports whether p lies on the globe and is not the null island (0, 0),
// which receivers write while they have no fix.
func (p Position) Valid() bool {
	return math.Abs(float64(p.Lat)) <= 90 && math.Abs(float64(p.Lon)) <= 180 &&
		(p.Lat != 0 || p.Lon != 0)
}

// Instant is a moment in milliseconds since 1970-01-01T00:00:00Z.
type Instant int64

// InstantOf returns t to the millisecond, rounded down.
func InstantOf(t time.Time) Instant { return Instant(t.UnixMilli()) }

// Unix returns the instant of a whole number of seconds since 1970.
func Unix(seconds int64) Instant { return Instant(seconds * 1000) }

// Time returns i as UTC.
func (i Instant) Time() time.Time { return time.UnixMilli(int64(i)).UTC() }

// In returns i on a clock that runs offset ahead of UTC.
func (i Instant) In(offset time.Duration) time.Time {
	return i.Time().In(time.FixedZone("", int(offset/time.Second)))
}

// Add returns the instant d after i, to the millisecond.
func (i Instant) Add(d time.Duration) Instant { return i + Instant(d.Milliseconds()) }

// Sub returns the time from j to i.
func (i Instant) Sub(j Instant) time.Duration { return time.Duration(i-j) * time.Millisecond }
