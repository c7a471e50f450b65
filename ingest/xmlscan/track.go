package xmlscan

import (
	"math"
	"slices"
	"time"
	"unicode/utf8"

	"tidemark/load"
)

// Point is one moment of a recording as the document gives it.
type Point struct {
	Time               Time
	Lat, Lon           Number // degrees
	Altitude, Distance Number // metres; distance since the start
	Speed              Number // metres per second
	Cadence            Number
	Heart              Number // beats per minute
}

// Track turns points into samples, in the order of the document. It judges
// single values only: whether positions, times and their sequence make sense is
// asked later, for all formats alike.
type Track struct {
	Samples []load.Sample
	Pauses  []load.Span

	// Offset is the local time that the points are written in.
	Offset    time.Duration
	HasOffset bool

	// Max is how many samples are kept; the rest is counted and left out.
	Max int

	stood bool // the timer stood between the last sample and the next
	count tally
}

// tally counts what the remarks tell.
type tally struct {
	points, untimed, over           int
	positions, hearts               int
	altitudes, distances, speeds    int
	cadences, commas, zones, shifts int
}

// Bounds of single values, wide enough for any recording; all are project
// defaults. They keep sums finite and fillers such as -32768 out.
const (
	lowest     = -1_000 // metres; the shore of the Dead Sea is at -430
	highest    = 15_000 // metres; above every mountain and most flights
	greatest   = 1e9    // metres, metres per second, or counts
	longestLap = 1e6    // seconds, 11 days
)

// fewest is how many samples a track has room for at first; it doubles.
const fewest = 64

// Pause says that the timer stands until the next point.
func (t *Track) Pause() { t.stood = len(t.Samples) > 0 }

// Resume takes back a Pause, where a lap begins rather than ends.
func (t *Track) Resume() { t.stood = false }

// Add appends the sample of p. It returns false if p has no usable time or the
// track is full, so that there is none.
func (t *Track) Add(p *Point) bool {
	t.count.points++
	if p.Time.State != Given {
		t.count.untimed++
		return false
	}
	if len(t.Samples) >= t.Max {
		t.count.over++
		return false
	}
	t.zone(p.Time)
	t.resumeAt(p.Time.At)
	if len(t.Samples) == cap(t.Samples) {
		t.Samples = slices.Grow(t.Samples, max(len(t.Samples), fewest))
	}
	t.Samples = append(t.Samples, load.Sample{At: p.Time.At})
	s := &t.Samples[len(t.Samples)-1]
	t.place(s, p)
	t.motion(s, p)
	t.heart(s, p.Heart)
	return true
}

// zone keeps the first offset that can be a zone's.
func (t *Track) zone(at Time) {
	if at.NoZone {
		t.count.zones++
	}
	if at.Offset == 0 || t.HasOffset {
		return
	}
	if t.Offset, t.HasOffset = at.Zone(); !t.HasOffset {
		t.count.shifts++
	}
}

func (t *Track) resumeAt(at load.Instant) {
	if !t.stood {
		return
	}
	t.stood = false
	if from := t.Samples[len(t.Samples)-1].At; at > from {
		t.Pauses = append(t.Pauses, load.Span{From: from, To: at})
	}
}

func (t *Track) place(s *load.Sample, p *Point) {
	lat, lon := t.number(p.Lat), t.number(p.Lon)
	switch {
	case lat == Given && lon == Given:
		s.Position = load.Position{Lat: load.Degrees(p.Lat.Value), Lon: load.Degrees(p.Lon.Value)}
		s.Has |= load.HasPosition
	case lat != Absent || lon != Absent:
		t.count.positions++
	}
	if t.within(p.Altitude, lowest, highest, &t.count.altitudes) {
		s.Altitude, s.Has = load.Metres(p.Altitude.Value), s.Has|load.HasAltitude
	}
}

func (t *Track) motion(s *load.Sample, p *Point) {
	if t.within(p.Distance, 0, greatest, &t.count.distances) {
		s.Distance, s.Has = load.Metres(p.Distance.Value), s.Has|load.HasDistance
	}
	if t.within(p.Speed, 0, greatest, &t.count.speeds) {
		s.Speed, s.Has = load.Speed(p.Speed.Value), s.Has|load.HasSpeed
	}
	if t.within(p.Cadence, 0, greatest, &t.count.cadences) {
		s.Cadence, s.Has = load.Cadence(p.Cadence.Value), s.Has|load.HasCadence
	}
}

func (t *Track) heart(s *load.Sample, n Number) {
	if t.within(n, 0.5, math.Nextafter(255.5, 0), &t.count.hearts) {
		s.Heart, s.Has = load.BPM(n.Value+0.5), s.Has|load.HasHeart
	}
}

// number counts decimal commas and returns the state of n.
func (t *Track) number(n Number) State {
	if n.Comma {
		t.count.commas++
	}
	return n.State
}

// within reports whether n is given and from low to high; what is there and
// is not counts as bad.
func (t *Track) within(n Number, low, high float64, bad *int) bool {
	if t.number(n) == Absent {
		return false
	}
	if n.State == Malformed || n.Value < low || n.Value > high {
		*bad++
		return false
	}
	return true
}

// Fill puts what the track collected into a, with the remarks.
func (t *Track) Fill(a *load.Activity) {
	a.Samples, a.Pauses = t.Samples, t.Pauses
	a.Offset, a.HasOffset = t.Offset, t.HasOffset
	c, n := &t.count, &a.Notes
	for _, r := range []struct {
		count int
		code  load.NoteCode
		text  string
	}{
		{c.untimed, load.NoteTime, "points without a usable time were left out: %d"},
		{c.zones, load.NoteTime, "times without a zone were read as UTC: %d"},
		{c.positions, load.NotePosition, "points without a usable position: %d"},
		{c.hearts, load.NoteHeart, "heart rates that are no number from 1 to 255: %d"},
		{c.altitudes, load.NoteValue, "altitudes that are no number or nowhere on land: %d"},
		{c.distances, load.NoteValue, "distances below zero or not a number: %d"},
		{c.speeds, load.NoteValue, "speeds below zero or not a number: %d"},
		{c.cadences, load.NoteValue, "cadences below zero or not a number: %d"},
		{c.commas, load.NoteMarkup, "numbers with a decimal comma: %d"},
		{c.over, load.NoteSkipped, "points beyond the limit were left out: %d"},
	} {
		if r.count > 0 {
			n.Add(r.code, r.text, r.count)
		}
	}
	if c.shifts > 0 && !t.HasOffset {
		n.Add(load.NoteOffset, "the times are written in an offset that no zone has")
	}
}

// Points returns how many points the track was given, timed or not.
func (t *Track) Points() int { return t.count.points }

// Seconds returns n as a duration to the millisecond; ok is false unless it is
// given and from 0 to 1e6.
func Seconds(n Number) (d time.Duration, ok bool) {
	if n.State != Given || n.Value < 0 || n.Value > longestLap {
		return 0, false
	}
	return time.Duration(math.Round(n.Value*1000)) * time.Millisecond, true
}

// Amount returns n; ok is false unless it is given and from 0 to 1e9.
func Amount(n Number) (v float64, ok bool) {
	return n.Value, n.State == Given && n.Value >= 0 && n.Value <= greatest
}

// longestName is how many characters are kept of a name, a project default.
const longestName = 200

// Name returns b as one clean line of at most 200 characters, and notes what
// had to be changed.
func Name(b []byte, notes *load.Notes) string {
	name, odd := CleanText(b)
	if odd {
		notes.Add(load.NoteMarkup, "characters that are no text were left out of a name")
	}
	if utf8.RuneCountInString(name) > longestName {
		notes.Add(load.NoteMarkup, "a name was cut to %d characters", longestName)
		name = string([]rune(name)[:longestName])
	}
	return name
}
