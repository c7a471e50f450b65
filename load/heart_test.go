package load_test

import (
	"math"
	"testing"
	"time"

	"tidemark/load"
)

// TestBanister holds the impulse against worked values: load reference 11, rows 6 to
// 8, computed from the published formula; the constants are cited second-hand.
func TestBanister(t *testing.T) {
	tests := []struct {
		name            string
		minutes         time.Duration
		bpm, rest, most float64
		constants       load.BanisterConstants
		want, tolerance float64
	}{
		{"an hour, men's constants", 60, 150, 60, 190, load.BanisterMen, 100.440, 0.001},
		{"an hour, women's constants", 60, 150, 60, 190, load.BanisterWomen, 113.517, 0.001},
		{"a minute at most, men's", 1, 190, 60, 190, load.BanisterMen, 4.365413, 1e-5},
		{"a minute at most, women's", 1, 190, 60, 190, load.BanisterWomen, 4.568464, 1e-5},
		{"above the maximum counts as the maximum", 1, 215, 60, 190, load.BanisterMen, 4.365413, 1e-5},
		{"below rest is nothing", 60, 50, 60, 190, load.BanisterMen, 0, 0},
		{"a maximum 10 lower", 60, 150, 60, 180, load.BanisterMen, 121.6, 0.05},
		{"a maximum 10 higher", 60, 150, 60, 200, load.BanisterMen, 84.8, 0.05},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := load.Banister(tt.minutes*time.Minute, tt.bpm, tt.rest, tt.most, tt.constants)
			if !near(got, tt.want, tt.tolerance) {
				t.Errorf("got %v, want %v", got, tt.want)
			}
		})
	}
	// Load reference 2.1: a wrong mix of the constants of both prints 3.400 a minute.
	if got := load.Banister(time.Minute, 190, 60, 190, load.BanisterWomen); near(got, 0.64*math.Exp(1.67), 0.01) {
		t.Errorf("%v a minute is a mix of both sets of constants", got)
	}
}

// TestImpulseIsBySample: half an hour at 0.4 and half an hour at 0.9 of the reserve
// are 113.83, not the 86.94 of their mean (load reference 2.1, computed from the
// published formula).
func TestImpulseIsBySample(t *testing.T) {
	var s load.Session
	s.HeartTimes.Add(100, 30*60_000) // 0.4 of the way from 60 to 160
	s.HeartTimes.Add(150, 30*60_000) // 0.9
	s.Moving, s.HeartCovered = time.Hour, time.Hour
	set := load.DefaultSettings()
	set.HeartRest, set.HeartMaxBPM = 60, 160
	r, ok := set.Reading(&s, load.Heart)
	if got := load.Heart.In(r.Amount); !ok || !r.Whole || !near(got, 113.83, 0.005) {
		t.Errorf("%v, %v; want 113.83, whole", got, r)
	}
}

// TestEdwards: 10, 20, 15, 10 and 5 min in the five zones are 160 (load reference 11,
// row 9; weights from Foster et al. 2001). A lower bound belongs to its zone: project
// default.
func TestEdwards(t *testing.T) {
	var s load.Session
	for i, minutes := range []int64{10, 20, 15, 10, 5} {
		s.HeartTimes.Add(100+20*i, minutes*60_000) // 50, 60, ... 90 % of 200
	}
	s.HeartTimes.Add(99, 60*60_000) // below half: nothing
	set := load.DefaultSettings()
	set.HeartMaxBPM, set.HeartMethod = 200, 1
	if r, ok := set.Reading(&s, load.Heart); !ok || load.Heart.In(r.Amount) != 160 {
		t.Errorf("%v, %v; want 160", load.Heart.In(r.Amount), ok)
	}
}

// TestHeartMax holds the estimates at 40 years against load reference 11, rows 11 and
// 12 (Tanaka 2001, Gulati 2010, Zhu 2010). A measured maximum comes first.
func TestHeartMax(t *testing.T) {
	day := load.Date(2026, time.May, 4)
	for i, want := range []float64{180.0, 170.8, 173.0} {
		set := load.DefaultSettings()
		set.BirthYear, set.HeartFormula = 1986, float64(i)
		most, ok := set.HeartMax(day)
		if !ok || !near(most.BPM, want, 1e-9) || most.Measured || !near(most.High-most.Low, 2*load.MaxError, 1e-9) {
			t.Errorf("%s: %+v, %v; want %v with its error", load.MaxFormulas[i].Name, most, ok, want)
		}
		set.HeartMaxBPM = 188
		if most, _ := set.HeartMax(day); most.BPM != 188 || !most.Measured {
			t.Errorf("%+v, want the measured 188", most)
		}
	}
	set := load.DefaultSettings()
	if _, ok := set.HeartMax(day); ok {
		t.Error("a maximum from nothing")
	}
	set.BirthYear, set.HeartFormula = 1960, 2
	if _, ok := set.HeartMax(day); ok {
		t.Error("an estimate outside the ages it was made for")
	}
}

// TestHeartIsMissing: without a rate at rest, without a maximum, or with one that is
// not above the other, there is no impulse; with too few rates it is a lower bound.
func TestHeartIsMissing(t *testing.T) {
	s := load.Reduce("a", recording(load.HasPosition|load.HasHeart, leg{600, 3, 0}), utc)
	for _, set := range []load.Settings{
		{},
		{HeartRest: 60},
		{HeartMaxBPM: 190},
		{HeartRest: 190, HeartMaxBPM: 190},
	} {
		if r, ok := set.Reading(&s, load.Heart); ok {
			t.Errorf("rest %v, maximum %v: %v", set.HeartRest, set.HeartMaxBPM, r)
		}
	}
	set := load.Settings{HeartRest: 60, HeartMaxBPM: 190}
	if r, ok := set.Reading(&s, load.Heart); !ok || !r.Whole {
		t.Errorf("%v, %v; want a whole impulse", r, ok)
	}
	half := recording(load.HasPosition|load.HasHeart, leg{600, 3, 0})
	for i := range 300 {
		half.Samples[i].Has &^= load.HasHeart
	}
	s = load.Reduce("a", half, utc)
	if r, ok := set.Reading(&s, load.Heart); !ok || r.Whole {
		t.Errorf("%v, %v of half a run; want a lower bound", r, ok)
	}
	none := load.Reduce("a", recording(load.HasPosition, leg{600, 3, 0}), utc)
	if r, ok := set.Reading(&none, load.Heart); ok {
		t.Errorf("%v of a run without heart rate", r)
	}
}

// TestHeartPeak: ten seconds must hold it, and the first three minutes do not count.
func TestHeartPeak(t *testing.T) {
	a := recording(load.HasPosition|load.HasHeart, leg{600, 3, 0}) // 140 bpm
	set := func(from, to int, bpm load.BPM) {
		for i := from; i < to; i++ {
			a.Samples[i].Heart = bpm
		}
	}
	set(10, 100, 210)  // a sensor that slips in the beginning
	set(300, 303, 230) // three beats
	if s := load.Reduce("a", a, utc); s.HeartPeak != 140 || s.HeartMax != 230 {
		t.Errorf("peak %d, maximum %d; want 140 and 230", s.HeartPeak, s.HeartMax)
	}
	set(400, 420, 181)
	if s := load.Reduce("a", a, utc); s.HeartPeak != 181 {
		t.Errorf("peak %d, want 181", s.HeartPeak)
	}
}

// TestHeartBand: where the maximum is an estimate the impulse has its error.
func TestHeartBand(t *testing.T) {
	var s load.Session
	s.Day = load.Date(2026, time.May, 4)
	s.HeartTimes.Add(150, 60*60_000)
	set := load.DefaultSettings()
	set.HeartRest, set.BirthYear = 60, 1960.285 // 208 - 0.7 x 65.715 is about 162
	low, high, ok := set.Band(&s, load.Heart)
	r, _ := set.Reading(&s, load.Heart)
	if !ok || low >= r.Amount || high <= r.Amount {
		t.Errorf("%d to %d, %v; want a band around %d", low, high, ok, r.Amount)
	}
	set.HeartMaxBPM = 190
	if _, _, ok := set.Band(&s, load.Heart); ok {
		t.Error("a band around a measured maximum")
	}
}
