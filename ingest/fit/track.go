package fit

import "tidemark/load"

// track makes samples of records as they come.
type track struct {
	samples []load.Sample
	untimed int  // records without a time
	graded  bool // some record has a grade
	counter counter
}

func newTrack(records int) track {
	return track{samples: make([]load.Sample, 0, records)}
}

// room appends a blank sample. The capacity was counted beforehand and is blank
// already, so that nothing is cleared twice.
func (t *track) room() *load.Sample {
	n := len(t.samples)
	if n == cap(t.samples) {
		t.samples = append(t.samples, load.Sample{})
	}
	t.samples = t.samples[:n+1]
	return &t.samples[n]
}

// add appends a sample of the record m if it has a time. Every record of every
// file comes through here, so it is one function without a loop, and what it
// calls is inlined: each value has its own function below, which says what was
// chosen.
func (t *track) add(l *layout, m []byte, timestamp uint32) {
	compressed := l.u24(m, l.compressed)
	counted := t.counter.to(compressed)
	if timestamp == invalid32 {
		t.untimed++
		return
	}
	s := t.room()
	s.At = instantOf(timestamp)
	var has load.Fields
	if p, ok := position(l.s32(m, l.lat), l.s32(m, l.long)); ok {
		s.Position = p
		has |= load.HasPosition
	}
	if d, ok := distance(l.u32(m, l.distance), counted); ok {
		s.Distance = d
		has |= load.HasDistance
	}
	if a, ok := altitude(l.u32(m, l.enhancedAltitude), l.u16(m, l.altitude)); ok {
		s.Altitude = a
		has |= load.HasAltitude
	}
	if v, ok := speed(l.u32(m, l.enhancedSpeed), l.u16(m, l.speed), compressed); ok {
		s.Speed = v
		has |= load.HasSpeed
	}
	if c, ok := cadence(l.u8(m, l.cadence), l.u8(m, l.fractional)); ok {
		s.Cadence = c
		has |= load.HasCadence
	}
	if g := l.s16(m, l.grade); g != invalidS16 {
		s.Grade = load.Grade(float64(g) / 10_000)
		has |= load.HasGrade
		t.graded = true
	}
	if h := l.u8(m, l.heartRate); h != invalid8 {
		s.Heart = load.BPM(h)
		has |= load.HasHeart
	}
	s.Has = has
}

// instantOf converts a FIT time.
func instantOf(timestamp uint32) load.Instant { return load.Unix(int64(timestamp) + epoch) }

// semicircle is 180 degrees in 2^31 parts.
const semicircle = 180.0 / (1 << 31)

// position returns the position if both halves are valid.
func position(lat, long int32) (load.Position, bool) {
	return load.Position{
		Lat: load.Degrees(float64(lat) * semicircle),
		Lon: load.Degrees(float64(long) * semicircle),
	}, lat != invalidS32 && long != invalidS32
}

// distance returns the cumulative distance, or that of the compressed field of
// old running watches.
func distance(centimetres, counted uint32) (load.Metres, bool) {
	switch {
	case centimetres != invalid32:
		return load.Metres(float64(centimetres) / 100), true
	case counted != invalid32:
		return load.Metres(float64(counted) / 16), true
	}
	return 0, false
}

// altitude returns the enhanced altitude, or the legacy one of 16 bits.
func altitude(enhanced uint32, legacy uint16) (load.Metres, bool) {
	if enhanced == invalid32 && legacy != invalid16 {
		enhanced = uint32(legacy)
	}
	return load.Metres(float64(enhanced)/5 - 500), enhanced != invalid32
}

// speed returns the enhanced speed, or the legacy one of 16 bits, or that of the
// compressed field of old running watches.
func speed(enhanced uint32, legacy uint16, compressed uint32) (load.Speed, bool) {
	switch {
	case enhanced != invalid32:
		return load.Speed(float64(enhanced) / 1000), true
	case legacy != invalid16:
		return load.Speed(float64(legacy) / 1000), true
	case compressed != invalid24:
		return load.Speed(float64(compressed&0xFFF) / 100), true
	}
	return 0, false
}

// cadence returns the cadence with its fraction, as the file counts it: of one
// leg.
func cadence(whole, fraction uint8) (load.Cadence, bool) {
	c := load.Cadence(whole)
	if fraction != invalid8 {
		c += load.Cadence(fraction) / 128
	}
	return c, whole != invalid8
}

// counter adds up a distance of 12 bits that begins again at zero every 256 m.
type counter struct{ last, sum uint32 }

const counterMask = 0xFFF

// to returns the sum in sixteenths of a metre after a compressed field, if it is
// one.
func (c *counter) to(compressed uint32) uint32 {
	if compressed == invalid24 {
		return invalid32
	}
	raw := compressed >> 12
	c.sum += (raw - c.last) & counterMask
	c.last = raw
	return c.sum
}
