package ramp_test

import (
	"testing"

	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// TestClass: check values 11 to 13 of the rehab reference 8 (Silbernagel and Crossley 2015,
// values from memory).
func TestClass(t *testing.T) {
	for _, tt := range []struct {
		during, next rehab.Score
		effort       int
		class        ramp.Class
		rest         int
	}{{2, 3, 11, ramp.Medium, 2}, {4, 2, 12, ramp.High, 3}, {1, 1, 10, ramp.Light, 0}, {1, 1, 16, ramp.High, 3}} {
		if class, rest := ramp.ClassOf(tt.during, tt.next, tt.effort); class != tt.class || rest != tt.rest {
			t.Errorf("%+v: %s, %d rest days", tt, class, rest)
		}
	}
}

// TestShinEntry: check value 42 (Moen et al. 2012, as cited): pain of 2 at 0.6 miles begins
// with phase 3.
func TestShinEntry(t *testing.T) {
	for miles, want := range map[float64]int{0.2: 1, 0.25: 1, 0.3: 2, 0.6: 3, 0.9: 4, 1.5: 5} {
		if got := ramp.ShinEntry(miles); got != want {
			t.Errorf("%g miles: phase %d, want %d", miles, got, want)
		}
	}
}

// TestTwice: check value 43 (Trials 2023, read): a phase that was done once without pain is
// done again before the next.
func TestTwice(t *testing.T) {
	table, err := ramp.FindTable("knee-six")
	if err != nil {
		t.Fatal(err)
	}
	in := runner()
	in.Site, in.Ladder = rehab.Plantar, table.Ladder() // a site whose gap is 1 from the start
	p := make_(t, in)
	var stages []int
	for _, d := range p.Days {
		if d.Kind == ramp.Run {
			stages = append(stages, d.Stage)
		}
	}
	times := make(map[int]int)
	for i, s := range stages {
		if times[s]++; i > 0 && s > stages[i-1] && times[stages[i-1]] < 2 {
			t.Errorf("run %d goes up to stage %d after %d runs of the one before", i, s, times[stages[i-1]])
		}
	}
	if len(times) < 4 {
		t.Errorf("stages %v: too few were reached to say", stages)
	}
}
