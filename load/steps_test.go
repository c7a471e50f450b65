package load_test

import (
	"slices"
	"testing"
	"time"

	"tidemark/load"
)

// 160 steps/min at 2.9 m/s are 919.54 steps/km (van Oeveren et al. 2017, PLoS
// ONE 12:e0184273: 80 strides/min). Over 1000 s: 2900 m, 2666.7 steps.
func TestStepsOfPublishedCadence(t *testing.T) {
	s := reduce(recording(complete, leg{1000, 2.9, 160}))
	perKm := float64(s.Steps) / float64(s.Distance) * 1000
	if !near(perKm, 919.54, 0.2) || s.Steps != 2667 || s.StepsSource != load.StepsFromCadence {
		t.Errorf("%d steps from %q, %.2f a km, want 2667 and 919.54", s.Steps, s.StepsSource, perKm)
	}
	wantNotes(t, s)
}

// Without a cadence: 164 + 10 (v - 3) within 140 to 200, the project's default.
// 10 km at 3.0 m/s take 55.56 min, so 9111 steps; at 4 m/s it is 174 steps/min.
func TestStepsFromSpeed(t *testing.T) {
	tenKm := recording(byDevice, leg{3333, 3, 0}, leg{1, 1, 0})
	for _, test := range []struct {
		name string
		made *load.Activity
		want int
	}{
		{"10 km at 3 m/s", tenKm, 9113}, // in whole seconds: 3333 at 164 and one of 1 m at 144
		{"4 m/s", recording(onTrack, leg{600, 4, 0}), 1740},
		{"2 m/s", recording(onTrack, leg{600, 2, 0}), 1540},
		// Every fifth second at 0.1 m/s, for which it would be 135.
		{"at least 140", recording(onTrack, slices.Repeat([]leg{{4, 3, 0}, {1, 0.1, 0}}, 120)...), (480*164 + 120*140) / 60},
		{"at most 200", recording(onTrack, leg{600, 7, 0}), 2000},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(test.made)
			if s.Steps != test.want || s.StepsSource != load.StepsFromSpeed || s.CadenceMean != 0 {
				t.Errorf("%d steps from %q, cadence %v, want %d", s.Steps, s.StepsSource, s.CadenceMean, test.want)
			}
			wantNotes(t, s, load.NoteSteps)
		})
	}
}

func TestStepsOfWalking(t *testing.T) {
	a := recording(complete, leg{600, 1.4, 112})
	a.Sport = load.Walking
	if s := reduce(a); s.Steps != 1120 {
		t.Errorf("%d steps, want 1120", s.Steps)
	}
	a = recording(onTrack, leg{600, 1.4, 0})
	a.Sport = load.Walking
	s := reduce(a)
	if _, ok := s.Measures.Get(load.Steps); ok || s.Steps != 0 || s.StepsSource != "" {
		t.Errorf("%d steps of walking out of nothing", s.Steps)
	}
	a.Totals.Steps = 1090
	if s := reduce(a); s.Steps != 1090 || s.StepsSource != load.StepsFromCadence {
		t.Errorf("%d steps from %q, want the device's 1090", s.Steps, s.StepsSource)
	}
	a.Sport = load.Cycling
	if s := reduce(a); s.StepsSource != "" {
		t.Errorf("%d steps of a ride", s.Steps)
	}
}

// A median of 60 to 110 above 2 m/s counts one foot; the project's rule.
func TestCadenceOfOneFoot(t *testing.T) {
	for _, test := range []struct {
		name    string
		feet    load.CadenceCount
		speed   float64
		cadence float64
		want    load.Cadence
		noted   bool
	}{
		{"both feet, as said", load.CadenceBothFeet, 3, 84, 84, false},
		{"one foot, as said", load.CadenceOneFoot, 3, 84, 168, false},
		{"not said, one foot", load.CadenceUnsaid, 3, 84, 168, true},
		{"not said, both feet", load.CadenceUnsaid, 3, 168, 168, false},
		{"110 is one foot", load.CadenceUnsaid, 3, 110, 220, true},
		{"111 is not", load.CadenceUnsaid, 3, 111, 111, false},
		{"60 is one foot", load.CadenceUnsaid, 3, 60, 120, true},
		{"59 is nothing known", load.CadenceUnsaid, 3, 59, 59, false},
		{"walking speed decides nothing", load.CadenceUnsaid, 1.8, 84, 84, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			a := recording(complete, leg{600, test.speed, test.cadence})
			a.Cadence = test.feet
			s := reduce(a)
			if s.CadenceMean != test.want || s.Steps != int(test.want)*10 {
				t.Errorf("cadence %v, %d steps, want %v", s.CadenceMean, s.Steps, test.want)
			}
			if s.Notes.Has(load.NoteCadence) != test.noted {
				t.Errorf("notes %v", s.Notes)
			}
		})
	}
	t.Run("not said, no speed", func(t *testing.T) {
		a := recording(load.HasCadence, leg{600, 3, 84})
		a.Cadence = load.CadenceUnsaid
		if s := reduce(a); s.CadenceMean != 168 {
			t.Errorf("cadence %v, want 168", s.CadenceMean)
		}
	})
}

// Standing makes no steps and is no part of the mean cadence.
func TestStepsOnlyWhileMoving(t *testing.T) {
	a := recording(complete, leg{300, 3, 168}, leg{60, 0, 168}, leg{300, 3, 160})
	s := reduce(a)
	if s.Steps != 840+800 || s.CadenceMean != 164 {
		t.Errorf("%d steps, cadence %v, want 1640 and 164", s.Steps, s.CadenceMean)
	}
}

// Cadence on every fifth sample holds in between; a minute without any is
// estimated from speed (164 at 3 m/s) after the ten seconds that the last holds.
func TestStepsWhereCadenceIsMissing(t *testing.T) {
	a := recording(complete, leg{600, 3, 194})
	for i := range a.Samples {
		if i%5 != 0 {
			a.Samples[i].Has &^= load.HasCadence
		}
	}
	s := reduce(a)
	if s.Steps != 1940 {
		t.Errorf("%d steps, want 1940", s.Steps)
	}
	wantNotes(t, s)

	// Nothing from second 301 to 374: 10 s hold on, 64 s are estimated, and
	// (536*194 + 64*164)/60 = 1908.
	s = reduce(strip(a, 301, 371, load.HasCadence))
	if s.Steps != 1908 || s.StepsSource != load.StepsFromCadence {
		t.Errorf("%d steps from %q, want 1908", s.Steps, s.StepsSource)
	}
	wantNotes(t, s, load.NoteSteps)
}

// A gap that was run through counts with its cadence, but no more than a minute
// of it: steps are not invented.
func TestStepsInGaps(t *testing.T) {
	for gap, want := range map[int]int{40: 600, 120: 420} {
		s := reduce(without(recording(complete, leg{200, 3, 180}), 51, 50+gap))
		if s.Steps != want {
			t.Errorf("%d steps with a gap of %d s, want %d", s.Steps, gap, want)
		}
	}
}

// A run of which only the sums are known: 5 km in 25 min are 3.33 m/s, so
// 164 + 10/3 = 167.33 steps/min, 4183 in all.
func TestStepsOfTotals(t *testing.T) {
	s := reduce(&load.Activity{
		Sport: load.Running, Start: sunrise, Totals: load.Totals{Timer: 25 * time.Minute, Distance: 5000},
	})
	if s.Steps != 4183 || s.StepsSource != load.StepsFromSpeed {
		t.Errorf("%d steps from %q, want 4183", s.Steps, s.StepsSource)
	}
	wantNotes(t, s, load.NoteTotals, load.NoteSteps)

	// 10 km at exactly 3.0 m/s: 164 steps/min for 55.56 min.
	s = reduce(&load.Activity{
		Sport: load.Running, Start: sunrise, Totals: load.Totals{Timer: 10_000 * time.Second / 3, Distance: 10_000},
	})
	if s.Steps != 9111 {
		t.Errorf("%d steps in 10 km at 3 m/s, want 9111", s.Steps)
	}
}
