package load

// setSpeeds takes the speed of each stretch from the device's count, else from
// the track, else the device's own. Some devices write the same count or place
// for seconds and then the whole step: one that follows less than 5 s of nothing
// is shared with them, for that long is no pause.
func (v *survey) setSpeeds(samples []Sample) {
	_, wrong := wrongUnit(v.count, v.track)
	counted := v.count.ok && !wrong
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
		case samples[k+1].Has&HasSpeed != 0:
			s.speed = samples[k+1].Speed
		}
		waiting = 0
	}
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

// movingSpeed returns the median in m/s of the speeds that are no standing.
func movingSpeed(parts []stretch) (v float64, ok bool) {
	var speeds []float64
	for k := range parts {
		if v := parts[k].speed; v >= stillSpeed {
			speeds = append(speeds, float64(v))
		}
	}
	return median(speeds)
}
