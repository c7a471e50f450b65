package load

import "math"

// How the device's distance and the track's are held against each other.
const (
	agreement  = 0.03 // of the track: apart by more is noted; project default
	jitterDrop = 10   // metres that a count may fall without being a reset; project default
	countSlack = 5000 // ms over which a count may catch up; project default
)

// unitErrors are the factors by which a count in the wrong unit misses the track:
// metres read as kilometres, kilometres as miles, decimetres, and their inverses.
var unitErrors = []float64{1000, 1.609344, 0.1, 1 / 1000.0, 1 / 1.609344, 10}

// count is the device's cumulative distance, made monotone.
type count struct {
	total  Metres // without the steps that were too fast
	raw    Metres // with them
	cut    int    // steps too fast
	resets int    // times the count began anew
	before Metres // counted before the first sample, and not part of this
	ok     bool   // the samples hold a distance that rose

	credit float64 // mm that the device may still catch up
}

// countOf adds up the device's cumulative distance from start on and stores in
// parts how much of it belongs to each stretch.
//
// Steps are left out that mean more than top m/s over the last 5 s: a count that
// lags comes in leaps and is right in the end. A count that falls by more than 10 m
// began anew, and what it shows then is distance if it can be since the sample
// before; a smaller fall is jitter and waits until the count is back.
func countOf(samples []Sample, parts []stretch, start Instant, top float64) count {
	var c count
	last, high := -1, Metres(0)
	for i := range samples {
		if samples[i].Has&HasDistance == 0 {
			continue
		}
		now := samples[i].Distance
		if last < 0 {
			if since := max(1000, samples[i].At-start); float64(now)*1000 <= top*float64(since) {
				c.total, c.raw = max(0, now), max(0, now)
			} else {
				c.before = now
			}
			last, high = i, now
			continue
		}
		allowed := top * float64(samples[i].At-samples[last].At)
		step := now - high
		if step < -jitterDrop {
			c.resets++
			if step, high = 0, now; float64(now)*1000 <= allowed {
				step = max(0, now)
			}
		}
		c.credit = min(c.credit, top*countSlack) + allowed
		c.add(parts[last:i], max(0, step))
		last, high = i, max(high, now)
	}
	c.ok = c.raw > 0
	return c
}

// add takes one step of the count.
func (c *count) add(parts []stretch, step Metres) {
	c.raw += step
	if float64(step)*1000 > c.credit {
		c.cut++
		return
	}
	c.credit -= float64(step) * 1000
	c.total += step
	if len(parts) == 1 {
		parts[0].device = step
		return
	}
	spread(parts, step, func(s *stretch, share Metres) { s.device = share })
}

// unitError reports whether one distance is the other in a wrong unit, to 3 %.
func unitError(device, track Metres) bool {
	for _, factor := range unitErrors {
		if math.Abs(float64(device)-factor*float64(track)) <= agreement*factor*float64(track) {
			return true
		}
	}
	return false
}

// wrongUnit reports whether the count is the track's length in a wrong unit, and
// returns the device's number. A track that is not complete convicts only of
// factors that gaps cannot explain.
func wrongUnit(c *count, t *track) (device Metres, wrong bool) {
	if !c.ok || t.total == 0 || agree(c.total, t.total) {
		return c.total, false
	}
	device = c.total
	if unitError(c.raw, t.total) {
		device = c.raw
	}
	if ratio := device / t.total; t.broken && ratio > 0.2 && ratio < 100 {
		return device, false
	}
	return device, unitError(device, t.total)
}

func agree(device, track Metres) bool {
	return math.Abs(float64(device-track)) <= agreement*float64(track)
}

// setDistance chooses the session's distance: the device's count where there is
// one, unless it is the track's in a wrong unit; else the track; the device's
// total for the whole where samples lack both or the recording was cut short.
func (s *Session) setDistance(a *Activity, v survey, cut bool) {
	c, t := &v.count, &v.track
	s.TrackDistance = t.total
	if t.points > 1 {
		s.Distance, s.DistanceSource = t.total, DistanceFromTrack
	}
	if c.ok {
		s.setCounted(c, t)
	}
	lacking := cut || s.Distance == 0 || !c.ok && t.broken
	if lacking && a.Totals.Distance > s.Distance {
		s.Notes.Add(NoteDistanceChoice, "the samples are not complete and give %.2f km: the device's own total of %.2f km was taken",
			float64(s.Distance)/1000, float64(a.Totals.Distance)/1000)
		s.Distance, s.DistanceSource, s.DeviceDistance = a.Totals.Distance, DistanceFromSession, a.Totals.Distance
	}
}

// setCounted holds the device's count against the track, notes where they
// disagree, and takes the count unless its unit is wrong.
func (s *Session) setCounted(c *count, t *track) {
	device, wrong := wrongUnit(c, t)
	s.DeviceDistance = device
	if !wrong {
		s.Distance, s.DistanceSource = c.total, DistanceFromDevice
	}
	if c.before > 0 {
		s.Notes.Add(NoteStart, "the device had counted %.2f km before the first sample: they are not in this recording and are left out", float64(c.before)/1000)
	}
	if c.cut > 0 {
		s.Notes.Add(NoteDistanceChoice, "the device's distance leaps faster than anybody runs: %s, %.0f m in all, left out",
			counted(c.cut, "step", "steps"), c.raw-c.total)
	}
	if c.resets > 0 {
		s.Notes.Add(NoteDistanceChoice, "the device's distance began anew %s: its parts were added up", counted(c.resets, "time", "times"))
	}
	if t.total == 0 || agree(c.total, t.total) {
		return
	}
	broken := ""
	if t.broken {
		broken = "; the track is not complete"
	}
	s.Notes.Add(NoteDistance, "the device says %.2f km, %+.1f %% against its track of %.2f km%s",
		float64(device)/1000, 100*float64(device/t.total-1), float64(t.total)/1000, broken)
	if wrong {
		s.Notes.Add(NoteDistanceChoice, "the device's distance is %.4g times the track's, an error of unit: the track was taken",
			float64(device/t.total))
	}
}
