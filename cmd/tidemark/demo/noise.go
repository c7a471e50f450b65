package demo

import (
	"math"
	"math/rand/v2"

	"tidemark/load"
)

// Seed is the written seed of every chance in the club: the same seed and day
// make the same bytes.
const Seed = 0x71de_3a2c_0b5e_55ed

// purpose keeps the streams of one runner and day apart, so that a change in one
// kind of chance moves no other.
type purpose uint64

const (
	forPlan purpose = iota
	forClock
	forMotion
	forWatch
	forPhone
)

// stream returns the source of chance of one member on one day for one purpose.
func (m *member) stream(day load.Day, p purpose) *rand.Rand {
	return rand.New(rand.NewPCG(Seed, m.number<<40|uint64(uint32(day))<<8|uint64(p)))
}

// wander is a value that strays around zero and comes back, one step a second:
// a first-order autoregression, smoothed once more so that it has no corners.
// A position that strays without corners hardly lengthens the track.
type wander struct {
	spread float64 // standard deviation before the smoothing
	back   float64 // seconds to come back
	smooth float64 // seconds of the smoothing; 1 is none
	inner  float64
	value  float64
}

// step moves w on by a second and returns the new value.
func (w *wander) step(chance *rand.Rand) float64 {
	kick := w.spread * math.Sqrt(2/w.back) * chance.NormFloat64()
	w.inner += kick - float64(w.inner/w.back)
	w.value += float64((w.inner - w.value) / w.smooth)
	return w.value
}
