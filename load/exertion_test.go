package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// Foster et al. 2001, J Strength Cond Res 15:109, Table 5: RPE 7 for 120 min is
// 840 AU.
func TestExertionAsPublished(t *testing.T) {
	for _, a := range []*load.Activity{
		{Sport: load.Running, Start: sunrise, Totals: load.Totals{Timer: 120 * time.Minute}},
		recording(complete, leg{7200, 3, 170}),
	} {
		a.Exertion, a.HasExertion = 7, true
		s := reduce(a)
		amount, ok := s.Measures.Get(load.Exertion)
		if got := load.Exertion.In(amount); !ok || got != 840 {
			t.Errorf("exertion %v (%v), want 840 AU", got, ok)
		}
	}
}

// The minutes are the elapsed ones without stops of more than 5 min: what is
// short of that belongs to the effort.
func TestExertionMinutes(t *testing.T) {
	for _, test := range []struct {
		name string
		made *load.Activity
		want float64 // AU at RPE 2
	}{
		{"no stop", recording(byDevice, leg{1800, 3, 0}), 60},
		{"a stop of 5 min", recording(byDevice, leg{900, 3, 0}, leg{300, 0, 0}, leg{900, 3, 0}), 70},
		{"a longer one", recording(byDevice, leg{900, 3, 0}, leg{301, 0, 0}, leg{900, 3, 0}), 60},
		{"a device's pause with samples", paused(recording(byDevice, leg{900, 3, 0}, leg{600, 0, 0}, leg{900, 3, 0}), 900, 1500), 60},
		{"a device's pause without", paused(without(recording(byDevice, leg{900, 3, 0}, leg{600, 0, 0}, leg{900, 3, 0}), 901, 1500), 900, 1500), 60},
		{"a gap", without(recording(byDevice, leg{900, 3, 0}, leg{600, 0, 0}, leg{900, 3, 0}), 901, 1500), 60},
		{"two short ones", recording(byDevice, leg{600, 3, 0}, leg{240, 0, 0}, leg{600, 3, 0}, leg{240, 0, 0}, leg{600, 3, 0}), 76},
	} {
		t.Run(test.name, func(t *testing.T) {
			test.made.Exertion, test.made.HasExertion = 2, true
			s := reduce(test.made)
			amount, _ := s.Measures.Get(load.Exertion)
			if got := load.Exertion.In(amount); !near(got, test.want, 1e-3) {
				t.Errorf("exertion %v AU, want %v", got, test.want)
			}
		})
	}
}

func TestExertionMissingOrOffTheScale(t *testing.T) {
	a := recording(byDevice, leg{600, 3, 0})
	s := reduce(a)
	if _, ok := s.Measures.Get(load.Exertion); ok {
		t.Error("exertion without an RPE")
	}
	a.HasExertion = true
	s = reduce(a)
	if amount, ok := s.Measures.Get(load.Exertion); !ok || amount != 0 {
		t.Errorf("RPE 0 gave %d (%v), want a known zero", amount, ok)
	}
}

// TestExertionInParts: a session judged in parts is their sum: 3 for 40 min and 7 for 20
// are 260 (Foster et al. 2001 multiplies and sums; by hand).
func TestExertionInParts(t *testing.T) {
	var e load.Edit
	if err := e.Set("exertion", "3x40 7x20"); err != nil {
		t.Fatal(err)
	}
	field, err := load.FindEditField("exertion")
	if err != nil || field.Of(e) != "3x40 7x20" {
		t.Errorf("%q, %v", field.Of(e), err)
	}
	s := e.Reduce("a", recording(load.HasPosition, leg{3600, 3, 0}), utc)
	if amount, ok := s.Measures.Get(load.Exertion); !ok || load.Exertion.In(amount) != 260 {
		t.Errorf("%v, %v; want 260", load.Exertion.In(amount), ok)
	}
	for _, bad := range []string{"3x", "x20", "11x20", "3x0", "3x40 7", "3 x 40", "3x40,7x20", "axb"} {
		if e.Set("exertion", bad) == nil {
			t.Errorf("%q was taken", bad)
		}
	}
	if err := e.Set("exertion", "5"); err != nil || e.Parts != nil || field.Of(e) != "5" {
		t.Errorf("one number for all of it: %+v, %v", e, err)
	}
}
