package load

import (
	"math"
	"time"
)

// How heart rates are taken; project defaults.
const (
	heartCap     = 5000    // ms that one heart rate is believed for
	peakWindow   = 10_000  // ms that a peak must have lasted, by the median
	peakLeast    = 5       // samples in that window
	peakSettling = 180_000 // ms after the start in which optical sensors are often wrong
)

// setHeart takes the mean heart rate by time, each value for the time since the
// one before but at most 5 s, the highest, how long each was held, and the highest
// median of 10 s.
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
		s.HeartTimes.Add(int(samples[i].Heart), int64(w))
		last = i
	}
	if weight > 0 {
		s.HeartMean = BPM(math.Round(beats / weight))
	}
	s.setHeartPeak(samples)
}

// setHeartCovered takes how much of the moving time has a heart rate: samples are
// believed for 5 s.
func (s *Session) setHeartCovered(samples []Sample, parts []stretch) {
	var covered millis
	last := -1
	for k := range parts {
		if samples[k].Has&HasHeart != 0 {
			last = k
		}
		if samples[k+1].Has&HasHeart != 0 || last >= 0 && samples[k+1].At-samples[last].At <= heartCap {
			covered += min(parts[k].move(), heartCap)
		}
	}
	s.HeartCovered = covered.duration()
}

// setHeartPeak takes the highest rate that more than half of the samples of some
// 10 s reached: no single beat of a sensor that slipped.
func (s *Session) setHeartPeak(samples []Sample) {
	from, n, above := 0, 0, 0 // the window, its samples with a rate, and those above the peak
	for i := range samples {
		p := &samples[i]
		if p.Has&HasHeart == 0 || p.At-s.Start < peakSettling {
			continue
		}
		if n == 0 {
			from = i
		}
		for ; p.At-samples[from].At >= peakWindow; from++ {
			if samples[from].Has&HasHeart != 0 {
				n--
				above -= flag(samples[from].Heart > s.HeartPeak)
			}
		}
		n++
		above += flag(p.Heart > s.HeartPeak)
		for n >= peakLeast && 2*above > n {
			s.HeartPeak++
			above = 0
			for _, q := range samples[from : i+1] {
				above += flag(q.Has&HasHeart != 0 && q.Heart > s.HeartPeak)
			}
		}
	}
}

// fullCoverage is the share of the moving time that must have a heart rate for the
// impulse to be that of the whole run; project default.
const fullCoverage = 0.9

// HeartCoverage returns the share of the moving time that has a heart rate, 0 to 1.
func (s *Session) HeartCoverage() float64 {
	if s.Moving <= 0 {
		return 0
	}
	return min(1, float64(s.HeartCovered)/float64(s.Moving))
}

// Banister returns the heart-rate impulse of some time at one heart rate: minutes
// x a e^(b x), x being the part of the way from rest to the maximum, held at 0 and 1
// (Banister 1991 and Morton et al. 1990, J Appl Physiol 69:1171, as cited). The
// impulse of a run is the sum over its samples: the function is convex, and that of a
// mean rate is less. It panics if the maximum is not above the rest.
func Banister(t time.Duration, bpm, rest, most float64, c BanisterConstants) float64 {
	if most <= rest {
		panic("load: Banister: no reserve between rest and maximum")
	}
	x := min(1, max(0, (bpm-rest)/(most-rest)))
	return t.Minutes() * x * c.A * math.Exp(c.B*x)
}

// BanisterConstants are the two constants of a curve of lactate over heart rate.
// They belong together.
type BanisterConstants struct{ A, B float64 }

// The published curves, of small groups of men and of women. Which of them is
// nearer to a runner is for the runner to say; it is never inferred.
var (
	BanisterMen   = BanisterConstants{0.64, 1.92}
	BanisterWomen = BanisterConstants{0.86, 1.67}
)

// Edwards returns the points of some time at one heart rate: minutes times 1, 2, 3, 4
// or 5 from 50, 60, 70, 80 and 90 % of the maximum on, the lower bound included, and
// nothing below (Edwards 1993 as described by Foster et al. 2001). It panics on a
// maximum that is not above zero.
func Edwards(t time.Duration, bpm, most float64) float64 {
	if most <= 0 {
		panic("load: Edwards: no maximum")
	}
	zone := math.Floor(10*bpm/most) - 4
	return t.Minutes() * min(5, max(0, zone))
}
