package ingest_test

import (
	"math"
	"testing"

	"tidemark/load"
)

// checkActivity holds an activity against what every one that comes out of
// Decode promises.
func checkActivity(t *testing.T, a *load.Activity) {
	t.Helper()
	if len(a.Samples) == 0 && a.Totals == (load.Totals{}) {
		t.Error("neither samples nor totals")
	}
	for i := range a.Samples {
		if i > 0 && a.Samples[i].At <= a.Samples[i-1].At {
			t.Fatalf("sample %d is not after the one before", i)
		}
		checkSample(t, &a.Samples[i])
	}
	if len(a.Samples) > 0 && a.Start > a.Samples[0].At {
		t.Error("the start is after the first sample")
	}
	for i, p := range a.Pauses {
		if p.To <= p.From || i > 0 && p.From <= a.Pauses[i-1].To {
			t.Errorf("pause %d is %v", i, p)
		}
	}
	for _, sum := range []load.Metres{a.Totals.Distance, a.Totals.Ascent, a.Totals.Descent} {
		if !finite(float64(sum)) || sum < 0 {
			t.Errorf("totals %+v", a.Totals)
		}
	}
	if a.Totals.Elapsed < 0 || a.Totals.Timer < 0 || a.Totals.Steps < 0 {
		t.Errorf("totals %+v", a.Totals)
	}
	if a.HasExertion && !(a.Exertion >= 0 && a.Exertion <= 10) {
		t.Errorf("exertion %v", a.Exertion)
	}
}

func checkSample(t *testing.T, s *load.Sample) {
	t.Helper()
	for _, v := range []float64{
		float64(s.Position.Lat), float64(s.Position.Lon), float64(s.Distance),
		float64(s.Altitude), float64(s.Speed), float64(s.Cadence),
	} {
		if !finite(v) {
			t.Fatalf("%+v", s)
		}
	}
	if s.Got(load.HasPosition) && !s.Position.Valid() {
		t.Fatalf("position %v", s.Position)
	}
	if s.Got(load.HasHeart) && (s.Heart < 25 || s.Heart > 245) {
		t.Fatalf("heart rate %d", s.Heart)
	}
	if s.Distance < 0 || s.Speed < 0 || s.Cadence < 0 {
		t.Fatalf("%+v", s)
	}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
