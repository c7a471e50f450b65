package load_test

import (
	"math"
	"testing"
	"time"

	"tidemark/load"
)

// twister is the generator MT19937 (Matsumoto and Nishimura 1998) as Python's random
// seeds and reads it, so that a published simulation can be repeated.
type twister struct {
	state [624]uint32
	at    int
	next  *float64
}

func newTwister(seed uint32) *twister {
	m := &twister{at: 624}
	m.state[0] = 19650218
	for i := 1; i < 624; i++ {
		m.state[i] = 1812433253*(m.state[i-1]^m.state[i-1]>>30) + uint32(i)
	}
	i := 1
	mix := func(factor, add uint32, minus bool) {
		v := m.state[i] ^ (m.state[i-1]^m.state[i-1]>>30)*factor
		if minus {
			v -= uint32(i)
		} else {
			v += add
		}
		m.state[i] = v
		if i++; i == 624 {
			m.state[0], i = m.state[623], 1
		}
	}
	for range 624 {
		mix(1664525, seed, false)
	}
	for range 623 {
		mix(1566083941, 0, true)
	}
	m.state[0] = 0x80000000
	return m
}

func (m *twister) uint32() uint32 {
	if m.at == 624 {
		for i := range m.state {
			y := m.state[i]&0x80000000 | m.state[(i+1)%624]&0x7fffffff
			v := m.state[(i+397)%624] ^ y>>1
			if y&1 != 0 {
				v ^= 0x9908b0df
			}
			m.state[i] = v
		}
		m.at = 0
	}
	y := m.state[m.at]
	m.at++
	y ^= y >> 11
	y ^= y << 7 & 0x9d2c5680
	y ^= y << 15 & 0xefc60000
	return y ^ y>>18
}

func (m *twister) float64() float64 {
	a, b := m.uint32()>>5, m.uint32()>>6
	return (float64(a)*67108864 + float64(b)) / 9007199254740992
}

func (m *twister) gauss() float64 {
	if m.next != nil {
		z := *m.next
		m.next = nil
		return z
	}
	angle := m.float64() * 2 * math.Pi
	radius := math.Sqrt(-2 * math.Log(1-m.float64()))
	other := math.Sin(angle) * radius
	m.next = &other
	return math.Cos(angle) * radius
}

// flatHour is an hour at 3 m/s on the flat, with noise in its altitudes.
func flatHour(sigma float64) *load.Activity {
	noise := newTwister(7)
	a := recording(complete, leg{3599, 3, 170})
	for i := range a.Samples {
		a.Samples[i].Altitude = load.Metres(sigma * noise.gauss())
	}
	return a
}

// The load reference, 8.3, gives for this hour by Python's random.Random(7): raw,
// 31-point mean, and with turning points of 1 and 3 m.
func TestFlatHour(t *testing.T) {
	for _, test := range []struct{ sigma, raw, mean, one, three, roundRaw, round float64 }{
		{1, 2027, 66, 3.2, 0, 0.5, 0.05},
		{3, 6080, 198, 63, 9.7, 0.5, 0.05},
	} {
		a := flatHour(test.sigma)
		if got := float64(load.RawAscent(a)); !near(got, test.raw, test.roundRaw) {
			t.Errorf("sigma %v: raw ascent %.2f m, want %v", test.sigma, got, test.raw)
		}
		rises, one := load.SmoothedClimb(a, 31*time.Second, 1)
		_, three := load.SmoothedClimb(a, 31*time.Second, 3)
		if !near(float64(rises), test.mean, 0.5) || !near(float64(one), test.one, 0.05) || !near(float64(three), test.three, test.round) {
			t.Errorf("sigma %v: %.2f, %.2f, %.2f m, want %v, %v, %v", test.sigma, rises, one, three, test.mean, test.one, test.three)
		}
	}
}

// With the program's own settings nothing is climbed on the flat, and the way costs
// no more than a hundredth.
func TestFlatHourReduced(t *testing.T) {
	for _, sigma := range []float64{1, 3} {
		for _, kind := range []load.AltitudeKind{load.AltitudeUnsaid, load.AltitudeBarometer} {
			a := flatHour(sigma)
			a.Altitude = kind
			s := reduce(a)
			// Field tests found up to 4.8 m per 1200 m on the flat with common filters
			// (Ammann et al. 2016): 43 m here.
			if s.Ascent > 43 || sigma == 1 && s.Ascent > 3.2 {
				t.Errorf("sigma %v, kind %v: ascent %.1f m", sigma, kind, s.Ascent)
			}
			flat, distance := amountOf(t, &s, load.Flat), amountOf(t, &s, load.Distance)
			if math.Abs(flat/distance-1) > 0.01 {
				t.Errorf("sigma %v, kind %v: %.3f km cost as much as %.3f on the flat", sigma, kind, distance, flat)
			}
		}
	}
}
