package load

import "time"

// How altitudes become ascent: the mean over a window around each sample, then
// turning points. A threshold alone fails on raw noise. A barometer is smoother than
// a receiver; a file that does not say has a receiver's (project defaults within
// the ranges of the load reference).
const (
	barometerWindow    = 31 * time.Second
	barometerThreshold = 2.0 // metres
	receiverWindow     = 61 * time.Second
	receiverThreshold  = 5.0 // metres
)

// AscentSettings returns over which time altitudes of a kind are averaged, and which
// climbs count.
func AscentSettings(kind AltitudeKind) (window time.Duration, threshold Metres) {
	if kind == AltitudeBarometer {
		return barometerWindow, barometerThreshold
	}
	return receiverWindow, receiverThreshold
}

// RawAscent returns the sum of all rises as they were recorded, noise included.
func RawAscent(a *Activity) (up Metres) {
	last := -1
	for i := range a.Samples {
		if a.Samples[i].Has&HasAltitude == 0 {
			continue
		}
		if last >= 0 {
			up += max(0, a.Samples[i].Altitude-a.Samples[last].Altitude)
		}
		last = i
	}
	return up
}

// Climb returns the metres up and down along a profile of altitudes by turning
// points: a leg ends where the profile has come back by at least threshold
// metres, and counts in full. Without one excursion of that size both are zero.
// Smooth the profile first; the sums say little without the settings they were
// made with.
func Climb(profile []Metres, threshold Metres) (up, down Metres) {
	if len(profile) == 0 {
		return 0, 0
	}
	c := climber{threshold: threshold, low: profile[0], high: profile[0]}
	for _, z := range profile[1:] {
		c.step(z)
	}
	c.commit()
	return c.up, c.down
}

// climber follows a profile. The open leg lies between low and high.
type climber struct {
	threshold, low, high Metres
	going                int // +1 up, -1 down, 0 before the first excursion
	up, down             Metres
}

func (c *climber) step(z Metres) {
	switch {
	case z > c.high && c.going >= 0:
		c.high = z
	case z < c.low && c.going <= 0:
		c.low = z
	}
	switch {
	case c.going <= 0 && z > c.low && z-c.low >= c.threshold:
		c.commit()
		c.going, c.high = 1, z
	case c.going >= 0 && z < c.high && c.high-z >= c.threshold:
		c.commit()
		c.going, c.low = -1, z
	}
}

// commit adds the open leg to the sum of its direction.
func (c *climber) commit() {
	switch c.going {
	case 1:
		c.up += c.high - c.low
	case -1:
		c.down += c.high - c.low
	}
}

// heights are the smoothed altitudes of the samples of an activity. Those of
// samples without an altitude mean nothing.
type heights struct {
	of    []Metres // one a sample
	known int      // samples with one
}

// heightsOf smooths the altitudes of an activity. A treadmill has none.
func heightsOf(a *Activity) heights {
	if a.Surface == Treadmill {
		return heights{}
	}
	window, _ := AscentSettings(a.Altitude)
	return smoothed(a.Samples, window)
}

// smoothed takes for each altitude the mean of those within half of the window of it,
// fewer at the ends.
func smoothed(samples []Sample, window time.Duration) (h heights) {
	half := Instant(window/time.Millisecond) / 2
	var sum Metres
	first, next, n := 0, 0, 0
	for i := range samples {
		if samples[i].Has&HasAltitude == 0 {
			continue
		}
		if h.of == nil {
			h.of = make([]Metres, len(samples))
		}
		at := samples[i].At
		for ; next < len(samples) && samples[next].At-at <= half; next++ {
			if samples[next].Has&HasAltitude != 0 {
				sum += samples[next].Altitude
				n++
			}
		}
		for ; at-samples[first].At > half; first++ {
			if samples[first].Has&HasAltitude != 0 {
				sum -= samples[first].Altitude
				n--
			}
		}
		h.of[i] = sum / Metres(n)
		h.known++
	}
	return h
}

// profile lists the altitudes that are known.
func (h *heights) profile(samples []Sample) []Metres {
	out := make([]Metres, 0, h.known)
	for i := range samples {
		if samples[i].Has&HasAltitude != 0 {
			out = append(out, h.of[i])
		}
	}
	return out
}

// setAscent takes ascent and descent from the samples, or the file's own where
// they hold no altitudes. A treadmill has them only of its belt's grade.
func (s *Session) setAscent(a *Activity, h *heights) {
	if s.Surface == Treadmill {
		return
	}
	if h.known > 1 {
		_, threshold := AscentSettings(a.Altitude)
		s.Ascent, s.Descent = Climb(h.profile(a.Samples), threshold)
		s.HasAscent = true
		return
	}
	s.Ascent, s.Descent = max(0, a.Totals.Ascent), max(0, a.Totals.Descent)
	s.HasAscent = s.Ascent > 0 || s.Descent > 0
}
