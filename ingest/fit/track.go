package fit

import "tidemark/load"

// track makes samples of records as they come.
type track struct {
	samples []load.Sample
	untimed int // records without a time
	counter counter
}

func newTrack(records int) track {
	return track{samples: make([]load.Sample, 0, records)}
}

// add appends a sample for each record that has a time.
func (t *track) add(records []record) {
	for i := range records {
		r := &records[i]
		if r.compressed != invalid24 && r.distance == invalid32 {
			r.distance = t.counter.distance(r.compressed >> 12)
		}
		if r.timestamp == invalid32 {
			t.untimed++
			continue
		}
		t.samples = append(t.samples, load.Sample{At: instantOf(r.timestamp)})
		r.fill(&t.samples[len(t.samples)-1])
	}
}

// fill sets the values that the record has. Each has its own function below,
// which says what was chosen.
func (r *record) fill(s *load.Sample) {
	var has load.Fields
	if p, ok := r.position(); ok {
		s.Position = p
		has |= load.HasPosition
	}
	if d, ok := r.metres(); ok {
		s.Distance = d
		has |= load.HasDistance
	}
	if a, ok := r.height(); ok {
		s.Altitude = a
		has |= load.HasAltitude
	}
	if v, ok := r.pace(); ok {
		s.Speed = v
		has |= load.HasSpeed
	}
	if c, ok := r.strides(); ok {
		s.Cadence = c
		has |= load.HasCadence
	}
	if r.heartRate != invalid8 {
		s.Heart = load.BPM(r.heartRate)
		has |= load.HasHeart
	}
	s.Has = has
}

// instantOf converts a FIT time.
func instantOf(timestamp uint32) load.Instant { return load.Unix(int64(timestamp) + epoch) }

// semicircle is 180 degrees in 2^31 parts.
const semicircle = 180.0 / (1 << 31)

// position returns the position if both halves are valid.
func (r *record) position() (load.Position, bool) {
	return load.Position{
		Lat: load.Degrees(float64(r.lat) * semicircle),
		Lon: load.Degrees(float64(r.long) * semicircle),
	}, r.lat != invalidS32 && r.long != invalidS32
}

// metres returns the cumulative distance.
func (r *record) metres() (load.Metres, bool) {
	return load.Metres(float64(r.distance) / 100), r.distance != invalid32
}

// height returns the enhanced altitude, or the legacy one of 16 bits.
func (r *record) height() (load.Metres, bool) {
	raw := r.enhancedAltitude
	if raw == invalid32 {
		if r.altitude == invalid16 {
			return 0, false
		}
		raw = uint32(r.altitude)
	}
	return load.Metres(float64(raw)/5 - 500), true
}

// pace returns the enhanced speed, or the legacy one of 16 bits, or that of the
// compressed field of old running watches.
func (r *record) pace() (load.Speed, bool) {
	switch {
	case r.enhancedSpeed != invalid32:
		return load.Speed(float64(r.enhancedSpeed) / 1000), true
	case r.speed != invalid16:
		return load.Speed(float64(r.speed) / 1000), true
	case r.compressed != invalid24:
		return load.Speed(float64(r.compressed&0xFFF) / 100), true
	}
	return 0, false
}

// strides returns the cadence with its fraction, as the file counts it: of one leg.
func (r *record) strides() (load.Cadence, bool) {
	c := float64(r.cadence)
	if r.fractional != invalid8 {
		c += float64(r.fractional) / 128
	}
	return load.Cadence(c), r.cadence != invalid8
}

// counter adds up a distance of 12 bits that begins again at zero every 256 m.
type counter struct{ last, sum uint32 }

const counterMask = 0xFFF

// distance returns the sum in centimetres after the counter came to raw, in
// sixteenths of a metre.
func (c *counter) distance(raw uint32) uint32 {
	c.sum += (raw - c.last) & counterMask
	c.last = raw
	return uint32(uint64(c.sum) * 100 / 16)
}
