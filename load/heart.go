package load

import "math"

// heartCap is how long in ms one heart rate is believed; project default.
const heartCap = 5000

// setHeart takes the mean heart rate by time, each value for the time since the
// one before but at most 5 s, and the highest.
func (s *Session) setHeart(samples []Sample) {
	var beats, weight float64
	last := -1
	for i := range samples {
		if samples[i].Has&HasHeart == 0 {
			continue
		}
		w := Instant(1000)
		if last >= 0 {
			w = min(samples[i].At-samples[last].At, heartCap)
		}
		beats += float64(w) * float64(samples[i].Heart)
		weight += float64(w)
		s.HeartMax = max(s.HeartMax, samples[i].Heart)
		last = i
	}
	if weight > 0 {
		s.HeartMean = BPM(math.Round(beats / weight))
	}
}
