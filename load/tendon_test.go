package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// legSteps returns the steps of one leg over km at v m/s and a cadence of both feet.
func legSteps(km, v, cadence float64) float64 { return cadence * (km * 1000 / v / 60) / 2 }

// TestTendonKM is the worked example of load reference 7.6, row 30, computed from the
// formula: 10 km at 3 m/s are 10 for any power; 8 km at 3.0 and 2 km at 4.5 m/s are
// 9.683, 10.943 and 13.148 for the powers 1, 5 and 9.
func TestTendonKM(t *testing.T) {
	even := load.TendonKM(legSteps(10, 3, 164), load.TendonForce(3, 0))
	easy := load.TendonKM(legSteps(8, 3, 164), load.TendonForce(3, 0))
	fast := load.TendonKM(legSteps(2, 4.5, 180), load.TendonForce(4.5, 0))
	for i, want := range []float64{9.683, 10.943, 13.148} {
		if !near(even[i], 10, 1e-9) {
			t.Errorf("power %v: %v, want 10", load.TendonPowers[i], even[i])
		}
		if got := easy[i] + fast[i]; !near(got, want, 0.001) {
			t.Errorf("power %v: %v, want %v", load.TendonPowers[i], got, want)
		}
	}
}

// TestTendonDirection: a kilometre asks for less with speed by the power 1 and for
// more by the power 9 (the direction of Firminger et al. 2020, Med Sci Sports Exerc
// 52:1549, at 3.5, 4.5 and 5.5 m/s; the cadences are project defaults).
func TestTendonDirection(t *testing.T) {
	var before [3]float64
	for i, p := range []struct{ v, cadence float64 }{{3.5, 168}, {4.5, 180}, {5.5, 192}} {
		km := load.TendonKM(legSteps(1, p.v, p.cadence), load.TendonForce(load.Speed(p.v), 0))
		if i > 0 && (km[0] >= before[0] || km[2] <= before[2]) {
			t.Errorf("%v m/s: %v after %v; want the first to fall and the last to rise", p.v, km, before)
		}
		before = km
	}
}

// TestTendonForce holds the ends: beyond what was measured nothing is made up.
func TestTendonForce(t *testing.T) {
	tests := []struct {
		v    load.Speed
		g    load.Grade
		want float64 // (1 + 0.10 (v - 3)) (1 + g), project default
	}{
		{3, 0, 1},
		{4, 0, 1.1},
		{3, 0.10, 1.1},
		{3, -0.10, 0.9},
		{1.2, 0, 0.9},
		{9, 0, 1.26},
		{3, 0.45, 1.2},
		{3, -0.45, 0.8},
	}
	for _, tt := range tests {
		if got := load.TendonForce(tt.v, tt.g); !near(got, tt.want, 1e-8) {
			t.Errorf("%v m/s on %v: %v, want %v", tt.v, tt.g, got, tt.want)
		}
	}
}

// tendonOf returns the measure and its band in km.
func tendonOf(t *testing.T, set load.Settings, s *load.Session) (mid, low, high float64) {
	t.Helper()
	r, ok := set.Reading(s, load.Tendon)
	from, to, banded := set.Band(s, load.Tendon)
	if !ok || !banded {
		t.Fatal("no tendon load")
	}
	return load.Tendon.In(r.Amount), load.Tendon.In(from), load.Tendon.In(to)
}

// TestTendonOfARecording: 1800 s at 3 m/s and 164 steps/min are 5.4 km of way and 5.4
// at 3 m/s; 600 s at 4.5 and 180 are 900 steps of a leg at 1.15 (load reference 7.6).
func TestTendonOfARecording(t *testing.T) {
	has := load.HasPosition | load.HasCadence
	s := load.Reduce("a", recording(has, leg{1800, 3, 164}), utc)
	mid, low, high := tendonOf(t, load.DefaultSettings(), &s)
	for _, got := range []float64{mid, low, high} {
		if !near(got, 5.4, 0.01) {
			t.Errorf("%v to %v to %v, want 5.4", low, mid, high)
		}
	}
	s = load.Reduce("a", recording(has, leg{600, 4.5, 180}), utc)
	mid, low, high = tendonOf(t, load.DefaultSettings(), &s)
	steps := 900 / (164 * 1000.0 / 360)
	for _, p := range []struct{ got, want float64 }{
		{low, steps * 1.15}, {mid, steps * 2.0113571875}, {high, steps * 3.5178762923}, // 1.15 to the 1st, 5th and 9th
	} {
		if !near(p.got, p.want, 0.01*p.want) {
			t.Errorf("got %v, want %v to a hundredth: speeds are taken over pieces of 50 m", p.got, p.want)
		}
	}
}

// TestTendonOfStatedConditions: factors of 1.10 apply to the fifth power, 1.61051, and
// only where the runner states them (load reference 7.2, project default).
func TestTendonOfStatedConditions(t *testing.T) {
	s := load.Reduce("a", recording(load.HasPosition|load.HasCadence, leg{1800, 3, 164}), utc)
	plain, _, _ := tendonOf(t, load.DefaultSettings(), &s)
	for name, change := range map[string]func(*load.Settings, *load.Session){
		"forefoot":  func(set *load.Settings, _ *load.Session) { set.Strike = 3 },
		"minimal":   func(set *load.Settings, _ *load.Session) { set.MinimalShoes = 1 },
		"treadmill": func(_ *load.Settings, s *load.Session) { s.Surface = load.Treadmill },
	} {
		set, one := load.DefaultSettings(), s
		change(&set, &one)
		got, low, high := tendonOf(t, set, &one)
		if !near(got, plain*1.61051, 0.001) || !near(low, plain*1.1, 0.01) || !near(high, plain*2.3579476910, 0.02) {
			t.Errorf("%s: %v (%v to %v), want %v times 1.61051 (1.1 to 2.3579)", name, got, low, high, plain)
		}
	}
}

// TestTendonIsMissing: without a speed nothing can be said, and a ride asks nothing.
func TestTendonIsMissing(t *testing.T) {
	still := recording(load.HasCadence, leg{600, 0, 164})
	still.Surface = load.Treadmill
	ride := recording(load.HasPosition, leg{600, 7, 0})
	ride.Sport = load.Cycling
	typed := &load.Activity{Sport: load.Running, Start: sunrise, Typed: &load.Typed{Day: monday}}
	typed.Totals.Distance = 8000
	for name, a := range map[string]*load.Activity{"no speed": still, "a ride": ride, "no duration": typed} {
		s := load.Reduce("a", a, utc)
		if amount, ok := s.Measures.Get(load.Tendon); ok {
			t.Errorf("%s: %d", name, amount)
		}
	}
}

// TestTendonOfATypedRun: an even run of 6 km in 2000 s is 3 m/s, and its estimated
// cadence the one at 3 m/s: 6 km.
func TestTendonOfATypedRun(t *testing.T) {
	a := &load.Activity{Sport: load.Running, Start: sunrise, Typed: &load.Typed{Day: monday, RunTime: 2000 * time.Second}}
	a.Totals.Distance, a.Totals.Elapsed = 6000, 2000*time.Second
	s := load.Reduce("a", a, utc)
	mid, low, high := tendonOf(t, load.DefaultSettings(), &s)
	if !near(mid, 6, 0.01) || !near(low, 6, 0.01) || !near(high, 6, 0.01) {
		t.Errorf("%v (%v to %v), want 6", mid, low, high)
	}
}

// TestTendonFollowsCorrections: a distance given by hand changes the speed: 5.4 km
// that were 7.2 are 4 m/s, 1.1 to the fifth power as much.
func TestTendonFollowsCorrections(t *testing.T) {
	a := recording(load.HasPosition|load.HasCadence, leg{1800, 3, 164})
	given := load.Metres(7200)
	s := load.Edit{Distance: &given}.Reduce("a", a, utc)
	mid, _, _ := tendonOf(t, load.DefaultSettings(), &s)
	if !near(mid, 5.4*1.61051, 0.05) {
		t.Errorf("%v, want 5.4 times 1.61051", mid)
	}
}
