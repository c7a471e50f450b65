package load_test

import (
	"fmt"
	"math"
	"testing"

	"tidemark/load"
)

// Up 10 % and down again costs more than the level way: 2 km and 2 km are 4.5.
func ExampleFlatRatio() {
	up, down := load.FlatRatio(0.10, 0), load.FlatRatio(-0.10, 0)
	fmt.Printf("%.4f %.4f %.2f m\n", up, down, 2000*(up+down))
	// Output: 1.6578 0.5977 4511.07 m
}

// Minetti et al. 2002: the polynomial's values as the load reference, 5.1 and 11,
// computes them; its least lies at -0.18135.
func TestCost(t *testing.T) {
	for _, test := range []struct {
		grade load.Grade
		want  float64
	}{
		{0, 3.6},
		{0.1, 5.968214},
		{-0.1, 2.151706},
		{-0.2, 1.800032},
		{0.45, 19.426015},
		{-0.18135, 1.781269},
		{-0.45, 4.0323},
		{-0.40, 3.6097},
		{-0.30, 2.4622},
		{-0.15, 1.8357},
		{-0.05, 2.7459},
		{0.05, 4.6852},
		{0.15, 7.4170},
		{0.20, 9.0067},
		{0.30, 12.5793},
		{0.40, 16.8499},
		{0.6, 19.426015},
		{-3, 4.0323}, // held at the ends
	} {
		tolerance := 5e-5
		if got := load.Cost(test.grade); !near(got, test.want, tolerance) {
			t.Errorf("Cost(%v) = %.6f, want %v", test.grade, got, test.want)
		}
	}
	// Measured in the same paper, mean and one standard deviation.
	for _, measured := range []struct {
		grade    load.Grade
		mean, sd float64
	}{{-0.45, 3.92, 0.81}, {-0.20, 1.73, 0.36}, {0, 3.40, 0.24}, {0.45, 18.93, 1.74}} {
		if got := load.Cost(measured.grade); math.Abs(got-measured.mean) > measured.sd {
			t.Errorf("Cost(%v) = %.2f, measured %.2f ± %.2f", measured.grade, got, measured.mean, measured.sd)
		}
	}
}

// At 10 km/h the ACSM equation gives 36.833 ml/kg/min on the level and 44.333 at 5 %,
// 3.5 of it at rest; at 12 km/h 43.5 and 61.5 at 10 %.
func TestFlatRatioACSM(t *testing.T) {
	for _, test := range []struct {
		grade       load.Grade
		level, with float64
	}{{0.05, 36.833, 44.333}, {0.10, 43.5, 61.5}} {
		if got, want := load.FlatRatioACSM(test.grade, 0), (test.with-3.5)/(test.level-3.5); !near(got, want, 1e-4) {
			t.Errorf("ratio at %v = %.5f, want %.5f", test.grade, got, want)
		}
	}
	if got := load.FlatRatioACSM(-0.1, 0); got != load.FlatRatio(-0.1, 0) {
		t.Errorf("downhill %v", got)
	}
	if got := load.FlatRatio(-0.2, 0.75); got != 0.75 {
		t.Errorf("with a floor %v", got)
	}
}

// The load reference, 5.3: 5 km at 4 % and 5 km back cost as much as 10 205.56 m.
func TestFlatRatioThereAndBack(t *testing.T) {
	if got := 5000 * (load.FlatRatio(0.04, 0) + load.FlatRatio(-0.04, 0)); !near(got, 10205.56, 0.01) {
		t.Errorf("%.2f m", got)
	}
}

// hill is the same hill as a recording: 2000 s of 2.5 m along the slope each way.
func hill() *load.Activity {
	level := 2.5 / math.Sqrt(1+0.04*0.04)
	a := recording(complete, leg{4000, level, 170})
	for i := range a.Samples {
		a.Samples[i].Altitude = load.Metres(0.04 * level * (2000 - math.Abs(float64(i)-2000)))
	}
	return a
}

// Smoothing takes some metres from the top and the ends: over 37 m to each side of
// them the gradient is less, which is worth a few metres of ten thousand.
func TestFlatOfAHill(t *testing.T) {
	a := hill()
	a.Altitude = load.AltitudeBarometer
	s := reduce(a)
	if got := 1000 * amountOf(t, &s, load.Flat); !near(got, 10205.56, 15) {
		t.Errorf("flat %.2f m, want about 10 205.56", got)
	}
	// Uphill 1 + 4.5 x 0.04 instead of 1.2361, downhill the same 0.8050.
	if want := 5000 * (1.18 + 0.8050); !near(float64(s.FlatACSM), want, 15) {
		t.Errorf("the other end %.2f m, want about %.2f", s.FlatACSM, want)
	}
	if s.Notes.Has(load.NoteFlat) {
		t.Errorf("notes %v", s.Notes)
	}
}

func TestFlatOfTheLevelIsTheDistance(t *testing.T) {
	for name, a := range map[string]*load.Activity{
		"with altitudes": recording(complete, leg{1800, 3, 170}), "without": recording(onTrack, leg{1800, 3, 0}),
		"a belt": belt(),
	} {
		s := reduce(a)
		if flat, distance := amountOf(t, &s, load.Flat), amountOf(t, &s, load.Distance); flat != distance {
			t.Errorf("%s: %v km flat of %v", name, flat, distance)
		}
		if known := s.FlatACSM > 0; known != s.HasAscent {
			t.Errorf("%s: the band is known: %v, the ascent: %v", name, known, s.HasAscent)
		}
	}
}

// Ten minutes at 3 m/s on a belt of 5 %: its metres are along the slope, and rise
// 1800 x 0.05 / sqrt(1 + 0.05^2) = 89.89 m.
func TestFlatOfABelt(t *testing.T) {
	a := recording(complete, leg{600, 3, 170})
	a.Surface = load.Treadmill
	s := said(t, "incline", "5").Reduce("run", a, utc)
	if got := amountOf(t, &s, load.Flat); !near(got, 1.8*4.6852/3.6, 0.001) {
		t.Errorf("flat %.4f km, want %.4f", got, 1.8*4.6852/3.6)
	}
	if !s.HasAscent || !near(float64(s.Ascent), 89.89, 0.01) || s.Descent != 0 {
		t.Errorf("ascent %.3f, descent %.3f", s.Ascent, s.Descent)
	}
	if a.Samples[0].Has&load.HasGrade != 0 {
		t.Error("the activity was changed")
	}
}

// A wall of 60 m in 50 m of way is counted as 45 %, and said so.
func TestFlatIsClipped(t *testing.T) {
	a := recording(complete, leg{600, 3, 170})
	for i := range a.Samples {
		a.Samples[i].Altitude = load.Metres(min(2000, max(0, 6*float64(i-200))))
	}
	s := reduce(a)
	if !s.Notes.Has(load.NoteFlat) {
		t.Errorf("notes %v", s.Notes)
	}
	// No piece costs more than 19.426/3.6 of its length along 45 %.
	if got := amountOf(t, &s, load.Flat); got > 1.8*5.3961*1.0966 {
		t.Errorf("flat %.2f km of 1.8", got)
	}
}

// An altitude that is missing for ten minutes is no gradient.
func TestFlatWithoutAltitudeForAWhile(t *testing.T) {
	a := hill()
	for i := 1000; i < 1600; i++ {
		a.Samples[i].Has &^= load.HasAltitude
	}
	s := reduce(a)
	// 1500 m of the 5000 uphill count as level.
	want := 10205.56 - 1500*(load.FlatRatio(0.04, 0)-1)
	if got := 1000 * amountOf(t, &s, load.Flat); !near(got, want, 60) {
		t.Errorf("flat %.1f m, want about %.1f", got, want)
	}
}

func TestOnlyWhoIsOnFootHasAFlatDistance(t *testing.T) {
	a := hill()
	a.Sport = load.Cycling
	s := reduce(a)
	if _, ok := s.Measures.Get(load.Flat); ok {
		t.Error("a ride has a flat distance for runners")
	}
}
