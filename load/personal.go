package load

import (
	"math"
	"time"
)

// Reading is how much of a measure a session asked of one runner.
type Reading struct {
	Amount Amount
	Whole  bool // false: something of it is missing, and the amount a lower bound
}

// Reading returns how much of a measure s asked of a runner with these settings;
// ok is false where it has none. Most measures are the session's own. Heart is
// weighed by the runner's heart rates, as long as these are known; Tendon by the
// surface, the strike of the foot and the shoes that the runner states.
func (set *Settings) Reading(s *Session, m Measure) (r Reading, ok bool) {
	switch m {
	case Heart:
		most, ok := set.HeartMax(s.Day)
		if !ok {
			return r, false
		}
		r, ok = set.impulse(s, most.BPM)
		return r, ok
	case Tendon:
		amount, ok := s.Measures.Get(Tendon)
		return Reading{scaled(amount, set.tendonFactor(s), TendonPowers[1]), true}, ok
	}
	amount, ok := s.Measures.Get(m)
	return Reading{amount, true}, ok
}

// Band returns the ends of what a session may have asked, where a measure is an
// estimate with a band: Flat by two costs of climbing, Tendon by the power, Heart
// by the error of a maximum that was not measured.
func (set *Settings) Band(s *Session, m Measure) (low, high Amount, ok bool) {
	if m != Flat && m != Tendon && m != Heart {
		return 0, 0, false
	}
	whole, has := set.Reading(s, m)
	if !has {
		return 0, 0, false
	}
	var a, b Amount
	switch m {
	case Flat:
		a, b = Amount(math.Round(float64(s.FlatACSM)*1000)), whole.Amount
		ok = s.FlatACSM > 0
	case Tendon:
		factor := set.tendonFactor(s)
		a, b = scaled(s.TendonBand[0], factor, TendonPowers[0]), scaled(s.TendonBand[1], factor, TendonPowers[2])
		ok = true
	case Heart:
		most, _ := set.HeartMax(s.Day)
		if most.Measured {
			return 0, 0, false
		}
		low, okLow := set.impulse(s, most.High)
		high, okHigh := set.impulse(s, most.Low)
		a, b, ok = low.Amount, high.Amount, okLow && okHigh
	}
	return min(a, b, whole.Amount), max(a, b, whole.Amount), ok
}

func scaled(a Amount, factor, power float64) Amount {
	if factor == 1 {
		return a
	}
	return Amount(math.Round(float64(a) * math.Pow(factor, power)))
}

// The choices of the setting strike.
const (
	strikeMid  = 2
	strikeFore = 3
)

// tendonFactor multiplies what the runner stated of a session's conditions.
func (set *Settings) tendonFactor(s *Session) float64 {
	factor := 1.0
	if s.Surface == Treadmill {
		factor *= tendonTreadmill
	}
	switch set.Strike {
	case strikeMid:
		factor *= tendonMidfoot
	case strikeFore:
		factor *= tendonForefoot
	}
	if set.MinimalShoes == 1 {
		factor *= tendonMinimal
	}
	return factor
}

// The choices of the setting heart-method.
const methodEdwards = 1

// heartKey is what the weight of a heart rate depends on.
type heartKey struct{ method, constants, rest, most float64 }

// heartScale is what a millisecond at each heart rate weighs.
type heartScale struct {
	heartKey
	weights [256]float64
}

func (set *Settings) heartKey(most float64) heartKey {
	return heartKey{set.HeartMethod, set.HeartConstants, set.HeartRest, most}
}

// scale lays the weights out; ok is false where there is no reserve to weigh by.
// Rates above the maximum count as the maximum.
func (k heartKey) scale() (scale heartScale, ok bool) {
	scale.heartKey = k
	constants := BanisterMen
	if k.constants == 1 {
		constants = BanisterWomen
	}
	if k.method != methodEdwards && (k.rest == 0 || k.most <= k.rest) {
		return scale, false
	}
	for bpm := range scale.weights {
		if k.method == methodEdwards {
			scale.weights[bpm] = Edwards(time.Millisecond, float64(bpm), k.most)
		} else {
			scale.weights[bpm] = Banister(time.Millisecond, float64(bpm), k.rest, k.most, constants)
		}
	}
	return scale, true
}

// read weighs the time at each heart rate.
func (scale *heartScale) read(s *Session) (r Reading, ok bool) {
	sum := 0.0
	s.HeartTimes.Each(func(bpm int, ms int64) {
		sum += float64(scale.weights[min(bpm, len(scale.weights)-1)] * float64(ms))
		ok = true
	})
	return Reading{Heart.Of(sum), s.HeartCoverage() >= fullCoverage}, ok
}

// impulse is what s asked of the heart, against a maximum.
func (set *Settings) impulse(s *Session, most float64) (r Reading, ok bool) {
	scale, ok := set.heartKey(most).scale()
	if !ok {
		return r, false
	}
	return scale.read(s)
}
