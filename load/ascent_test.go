package load_test

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"tidemark/load"
)

// Two hills with a dip of one metre between them: with a threshold of 2 m the
// dip is no descent.
func ExampleClimb() {
	profile := []load.Metres{100, 120, 119, 140, 105}
	up, down := load.Climb(profile, 2)
	fmt.Println(up, down)
	// Output: 40 35
}

// Worked by hand from the rule: a leg ends where the profile has come back by at
// least the threshold, and the open leg counts at the end.
func TestClimb(t *testing.T) {
	hills := []load.Metres{100, 101, 100.5, 102, 103.5, 103, 104.2, 103.9, 101, 99.5, 100.2, 98.9, 100, 105, 104.6}
	for _, test := range []struct {
		name      string
		profile   []load.Metres
		threshold load.Metres
		up, down  float64
	}{
		{"every metre", hills, 0, 12.0, 7.4},
		{"nearly every metre", hills, 1e-9, 12.0, 7.4},
		{"0.6", hills, 0.6, 11.0, 6.0},
		{"1", hills, 1, 10.3, 5.3},
		{"2", hills, 2, 10.3, 5.3},
		{"3", hills, 3, 10.3, 5.3},
		{"5", hills, 5, 6.1, 5.3},
		{"6", hills, 6, 6.1, 0},
		{"7", hills, 7, 0, 0},
		{"just enough", []load.Metres{100, 103}, 3, 3, 0},
		{"just not", []load.Metres{100, 102.9}, 3, 0, 0},
		{"down first", []load.Metres{100, 90, 120}, 3, 30, 10},
		{"empty", nil, 2, 0, 0},
		{"one", []load.Metres{5}, 0, 0, 0},
		{"flat", []load.Metres{5, 5, 5}, 0, 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			up, down := load.Climb(test.profile, test.threshold)
			if !near(float64(up), test.up, 1e-9) || !near(float64(down), test.down, 1e-9) {
				t.Errorf("Climb = %.3f, %.3f, want %.3f, %.3f", up, down, test.up, test.down)
			}
		})
	}
}

// A hill of 60 m with flat ends survives the smoothing but for its tip: the mean
// of 31 samples over a tip between slopes of 0.1 m/s is 0.1*(2*(1+...+15))/31 =
// 0.774 m lower.
func TestReduceAscentOfAHill(t *testing.T) {
	a := recording(complete, leg{1400, 3, 170})
	for i := range a.Samples {
		a.Samples[i].Altitude = load.Metres(max(0, 60-0.1*math.Abs(float64(i)-700)))
	}
	a.Altitude = load.AltitudeBarometer
	s := reduce(a)
	if !s.HasAscent || !near(float64(s.Ascent), 60-0.7742, 1e-3) || !near(float64(s.Descent), 60-0.7742, 1e-3) {
		t.Errorf("ascent %.4f, descent %.4f (%v), want 59.2258", s.Ascent, s.Descent, s.HasAscent)
	}
}

// A flat hour with independent noise of 1 m rises 0.5642 * 3600 = 2031 m by its
// raw differences (expectation N sigma / sqrt(pi)). Another program's smoothed
// sums at thresholds of 1 and 3 m were 3.2 and 0 m.
func TestReduceAscentOfNoise(t *testing.T) {
	noise := rand.New(rand.NewSource(7))
	a := recording(complete, leg{3600, 3, 170})
	raw := 0.0
	for i := range a.Samples {
		a.Samples[i].Altitude = load.Metres(100 + noise.NormFloat64())
		if i > 0 {
			raw += max(0, float64(a.Samples[i].Altitude-a.Samples[i-1].Altitude))
		}
	}
	if !near(raw, 2031, 100) {
		t.Fatalf("the noise rises %.0f m, which is not what this test is about", raw)
	}
	if s := reduce(a); s.Ascent > 3.2 {
		t.Errorf("ascent %.2f m on the flat", s.Ascent)
	}
}

func TestReduceWithoutAltitude(t *testing.T) {
	a := recording(onTrack, leg{60, 3, 0})
	if s := reduce(a); s.HasAscent {
		t.Errorf("ascent %v without an altitude", s.Ascent)
	}
	a.Totals.Ascent = 12
	if s := reduce(a); !s.HasAscent || s.Ascent != 12 {
		t.Errorf("ascent %v, want the device's 12", s.Ascent)
	}
}
