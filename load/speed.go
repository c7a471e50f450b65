package load

import (
	"cmp"
	"slices"
)

// setSpeeds takes the speed of each stretch from the device's count, else from
// the track, else the device's own, which says nothing of a gap. Some devices
// write the same count or place for seconds and then the whole step: one that
// follows less than 5 s of nothing is shared with them, for that is no pause.
func (v *survey) setSpeeds(samples []Sample) {
	counted := v.counted()
	var waiting millis // time of the unbroken run of nothing before k
	for k := range v.parts {
		s := &v.parts[k]
		length := s.length(counted)
		switch {
		case s.awake == 0:
		case length == 0:
			s.speed = 0
			waiting += s.awake
			continue
		case length > 0 && waiting > 0 && waiting < stillHold:
			v.share(k, float64(length)*1000/float64(waiting+s.awake))
		case length > 0:
			s.speed = Speed(float64(length) * 1000 / float64(s.awake))
		case samples[k+1].Has&HasSpeed != 0 && s.awake <= longGap:
			s.speed = samples[k+1].Speed
		}
		waiting = 0
	}
}

// counted reports whether the device's count measures, rather than the track.
func (v *survey) counted() bool {
	_, wrong := wrongUnit(&v.count, &v.track)
	return v.count.ok && !wrong
}

// length returns the metres of a stretch, or unknown.
func (s *stretch) length(counted bool) Metres {
	if counted && s.device >= 0 {
		return s.device
	}
	return s.track
}

// share gives stretch k and those before it that stood the same speed.
func (v *survey) share(k int, speed float64) {
	v.parts[k].speed = Speed(speed)
	for i := k - 1; i >= 0 && v.parts[i].speed == 0; i-- {
		v.parts[i].speed = Speed(speed)
	}
}

// trackSpeed returns the speed by positions, or unknown.
func (s *stretch) trackSpeed() Speed {
	if s.track < 0 || s.awake == 0 {
		return unknown
	}
	return Speed(float64(s.track) / s.awake.seconds())
}

// ownSpeed returns the speed that the stretch was given.
func (s *stretch) ownSpeed() Speed { return s.speed }

// paceCap is how long in ms one stretch counts in a median; project default.
const paceCap = 60_000

// pace is a speed of movement and how long it was kept up.
type pace struct {
	speed Speed
	time  millis
}

// paces are the movement in some stretches; standing still is left out.
type paces []pace

func (p *paces) addAll(parts []stretch, speed func(*stretch) Speed) {
	for k := range parts {
		if v := speed(&parts[k]); v >= stillSpeed {
			*p = append(*p, pace{v, min(parts[k].awake, paceCap)})
		}
	}
}

// median returns the speed in m/s that was kept up for half of the time, and
// whether there was movement at all. It goes by time because watches that save
// space write most samples where most happens.
func (p paces) median() (v float64, ok bool) {
	slices.SortFunc(p, func(a, b pace) int { return cmp.Compare(a.speed, b.speed) })
	var total, slower millis
	for _, q := range p {
		total += q.time
	}
	for _, q := range p {
		if slower += q.time; 2*slower >= total {
			return float64(q.speed), true
		}
	}
	return 0, false
}

// paceOf returns the median speed of movement in m/s over parts.
func paceOf(parts []stretch, speed func(*stretch) Speed) (v float64, ok bool) {
	var p paces
	p.addAll(parts, speed)
	return p.median()
}
