package assess_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// TestPoissonInterval holds exact limits against printed ones: Garwood 1936, Biometrika
// 28:437 (values from memory); of zero the upper one is -ln 0.025 (derived).
func TestPoissonInterval(t *testing.T) {
	tests := []struct {
		n         int
		low, high float64
	}{
		{0, 0, -math.Log(0.025)}, {1, 0.0253, 5.5716}, {5, 1.6235, 11.6683}, {10, 4.7954, 18.3904}, {100, 81.3640, 121.6270},
	}
	for _, tt := range tests {
		low, high := assess.PoissonInterval(tt.n)
		if math.Abs(low-tt.low) > 1e-3 || math.Abs(high-tt.high) > 1e-3 {
			t.Errorf("%d: %.4f to %.4f, want %.4f to %.4f", tt.n, low, high, tt.low, tt.high)
		}
	}
}

// TestEvidence counts eight weeks of 8 km on Monday, Wednesday and Friday and 12 km on
// Sunday, with one of 15 km and one of 30 at the end. By hand: 56 days, 29 of them among
// the first 30; of the other 27 the runs of the last four weeks.
func TestEvidence(t *testing.T) {
	monday := load.Date(2026, time.March, 2)
	in := &load.Input{Today: monday + 55}
	add := func(day load.Day, km float64) {
		s := load.Session{ID: fmt.Sprint(day), Day: day, Sport: load.Running, Start: load.InstantOf(day.Noon()), DistanceSource: load.DistanceFromDevice}
		s.End = s.Start.Add(time.Hour)
		s.Measures.Set(load.Distance, load.Distance.Of(km))
		in.Sessions = append(in.Sessions, s)
	}
	for week := range load.Day(8) {
		for day, km := range map[load.Day]float64{0: 8, 2: 8, 4: 8, 6: 12} {
			switch at := monday + 7*week + day; at {
			case monday + 48:
				add(at, 15) // 25 % over 12: small
			case monday + 55:
				add(at, 31) // more than twice 15: large
			default:
				add(at, km)
			}
		}
	}
	// One began on the Monday after the run of 15 km, one in the days that are left out.
	e := assess.EvidenceOf(in, []rehab.Complaint{{Onset: monday + 49}, {Onset: monday + 3}})
	if e.PersonDays != 27 || e.LeftOut != 29 || e.First != monday || e.Last != monday+55 {
		t.Fatalf("%+v, want 27 person-days and 29 left out", e)
	}
	// From day 29 on: four weeks less the Monday are 3 + 4 + 4 + 4 runs.
	want := map[string]int{"none": 13, "small": 1, "moderate": 0, "large": 1, "no run": 12}
	sum := 0
	for _, c := range e.BySpike {
		if n, ok := want[c.Class]; ok && c.Days != n {
			t.Errorf("%s: %d days, want %d", c.Class, c.Days, n)
		}
		if c.Days > 0 && !(c.Low < c.Rate && c.Rate < c.High) {
			t.Errorf("%+v: the rate is not in its interval", c)
		}
		sum += c.Days
	}
	ratios := 0
	for _, c := range e.ByRatio {
		ratios += c.Days
	}
	if sum != 27 || ratios != 27 {
		t.Errorf("%d and %d days in the classes, want all 27 once", sum, ratios)
	}
	if e := assess.EvidenceOf(&load.Input{Today: monday}, nil); e.PersonDays != 0 || e.BySpike != nil {
		t.Errorf("%+v of nobody", e)
	}
	// Days with the run of 15 km in the three days up to them: its own, Monday and Tuesday;
	// with that of 31 km its own, the last. Every other day has a plain run in its three.
	days, began := make(map[string]int), make(map[string]int)
	for _, o := range e.OnsetsBySpike {
		days[o.Class], began[o.Class] = o.Days, o.Complaints
	}
	if days["small"] != 3 || days["large"] != 1 || days["none"] != 23 || began["small"] != 1 || began["none"] != 0 {
		t.Errorf("days %v, complaints %v; want 3 small with one, 1 large, 23 none", days, began)
	}
	for _, o := range e.OnsetsBySpike {
		// One in three days is 333.3 per 1000; exact limits of 1 are 0.0253 and 5.5716.
		if o.Class == "small" && (math.Abs(o.Rate-333.33) > 0.01 || math.Abs(o.Low-8.43) > 0.01 || math.Abs(o.High-1857.2) > 0.1) {
			t.Errorf("%+v, want 333.3 per 1000, 8.4 to 1857.2", o)
		}
	}
	if len(assess.CannotShow) < 4 {
		t.Error("nothing is said of what such counts cannot show")
	}
}
