package load

// Ascent; project defaults. The file does not say whether the altitude is the
// barometer's or the receiver's, so the mean is long enough for the latter. A
// threshold alone fails on raw noise.
const (
	smoothHalf     = 15_000 // ms to each side of the centred mean: 31 samples at 1 Hz
	climbThreshold = 2.0    // metres
)

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

// smoothed returns the altitudes that samples have, each as the mean of those
// within 15 s of it.
func smoothed(samples []Sample) []Metres {
	out := make([]Metres, 0, len(samples))
	var sum Metres
	first, next, n := 0, 0, 0
	for i := range samples {
		if samples[i].Has&HasAltitude == 0 {
			continue
		}
		at := samples[i].At
		for ; next < len(samples) && samples[next].At-at <= smoothHalf; next++ {
			if samples[next].Has&HasAltitude != 0 {
				sum += samples[next].Altitude
				n++
			}
		}
		for ; at-samples[first].At > smoothHalf; first++ {
			if samples[first].Has&HasAltitude != 0 {
				sum -= samples[first].Altitude
				n--
			}
		}
		out = append(out, sum/Metres(n))
	}
	return out
}

// setAscent takes ascent and descent from the samples, or the file's own where
// they hold no altitudes. A treadmill has neither.
func (s *Session) setAscent(a *Activity) {
	if s.Surface == Treadmill {
		return
	}
	if profile := smoothed(a.Samples); len(profile) > 1 {
		s.Ascent, s.Descent = Climb(profile, climbThreshold)
		s.HasAscent = true
		return
	}
	s.Ascent, s.Descent = max(0, a.Totals.Ascent), max(0, a.Totals.Descent)
	s.HasAscent = s.Ascent > 0 || s.Descent > 0
}
