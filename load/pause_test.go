package load_test

import (
	"testing"

	"tidemark/load"
)

// The machine: below 0.5 m/s for 5 s is a pause, above 1.0 m/s for 3 s ends it,
// both from the first such second on. All limits are the project's.
func TestPauses(t *testing.T) {
	for _, test := range []struct {
		name   string
		legs   []leg
		moving float64
	}{
		{"none", []leg{{600, 3, 0}}, 600},
		{"traffic light", []leg{{300, 3, 0}, {60, 0, 0}, {300, 3, 0}}, 600},
		{"5 s", []leg{{300, 3, 0}, {5, 0, 0}, {300, 3, 0}}, 600},
		{"4 s are too short", []leg{{300, 3, 0}, {4, 0, 0}, {300, 3, 0}}, 604},
		{"shuffling on at 0.7 m/s is no pause", []leg{{300, 3, 0}, {60, 0.7, 0}, {300, 3, 0}}, 660},
		{"shuffling does not end one", []leg{{300, 3, 0}, {60, 0, 0}, {60, 0.7, 0}, {300, 3, 0}}, 600},
		{"two steps forward do not end one", []leg{{300, 3, 0}, {30, 0, 0}, {2, 3, 0}, {30, 0, 0}, {300, 3, 0}}, 600},
		{"a walk ends it", []leg{{300, 3, 0}, {60, 0, 0}, {60, 1.4, 0}}, 360},
		{"standing at the start", []leg{{60, 0, 0}, {300, 3, 0}}, 300},
		{"standing at the end", []leg{{300, 3, 0}, {60, 0, 0}}, 300},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(recording(byDevice, test.legs...))
			wantTime(t, "moving", s.Moving, test.moving)
			wantTime(t, "timer", s.Timer, s.Elapsed.Seconds())
		})
	}
}

// A track that does not move is standing; a count that stays at zero is not, for
// it may be no more than a sensor that is not there.
func TestStandingAllAlong(t *testing.T) {
	wantTime(t, "moving by the track", reduce(recording(onTrack, leg{300, 0, 0})).Moving, 0)
	wantTime(t, "moving by the count", reduce(recording(byDevice, leg{300, 0, 0})).Moving, 300)
}

// Two single seconds of standing still vanish in the median, as do two of
// running in a stop.
func TestPauseMedianIgnoresSpikes(t *testing.T) {
	legs := []leg{{300, 3, 0}}
	for range 20 {
		legs = append(legs, leg{2, 0, 0}, leg{3, 4, 0})
	}
	wantTime(t, "moving", reduce(recording(byDevice, legs...)).Moving, 400)
}

// Where the device paused at all, it knows best: its pauses are the only ones.
func TestDevicePausesWin(t *testing.T) {
	a := recording(byDevice, leg{300, 3, 0}, leg{60, 0, 0}, leg{300, 3, 0}, leg{120, 0, 0}, leg{300, 3, 0})
	paused(a, 660, 780)
	s := reduce(a)
	wantTime(t, "moving", s.Moving, 960)
	wantTime(t, "timer", s.Timer, 960)
	wantTime(t, "elapsed", s.Elapsed, 1080)

	a.Totals.Timer = 955_500 * 1e6
	wantTime(t, "the device's own timer", reduce(a).Timer, 955.5)
}

// Pauses that overlap, repeat, or reach beyond the recording count once and only
// as far as it goes.
func TestDevicePausesOverlap(t *testing.T) {
	a := recording(byDevice, leg{600, 3, 0})
	for _, p := range [][2]int{{300, 360}, {100, 160}, {330, 390}, {300, 360}, {500, 500}, {580, 9000}, {-50, 10}} {
		paused(a, p[0], p[1])
	}
	s := reduce(a)
	wantTime(t, "timer", s.Timer, 600-60-90-20-10)
	wantTime(t, "moving", s.Moving, 600-60-90-20-10)
}

// A watch stopped by its timer leaves no samples: 300 s, no distance.
func TestDevicePauseWithoutSamples(t *testing.T) {
	a := paused(without(recording(complete, leg{450, 3, 170}, leg{300, 0, 0}, leg{450, 3, 170}), 451, 750), 450, 750)
	s := reduce(a)
	wantTime(t, "moving", s.Moving, 900)
	wantMetres(t, "distance", s.Distance, 2700)
	wantNotes(t, s)
}

// A day without samples is a pause, with or without distance in it.
func TestGapOfADay(t *testing.T) {
	for _, fields := range []load.Fields{onTrack, byDevice, onTrack | byDevice, load.HasHeart} {
		a := recording(fields|load.HasCadence, leg{900, 3, 170})
		for i := 450; i < len(a.Samples); i++ {
			a.Samples[i].At += 86_400_000
		}
		s := reduce(a)
		wantTime(t, "moving", s.Moving, 899)
		wantTime(t, "elapsed", s.Elapsed, 87300)
		wantNotes(t, s, load.NoteGap)
	}
}

// Gaps at 0.5 to 1.5 times the usual speed are movement; project default.
func TestGaps(t *testing.T) {
	for _, test := range []struct {
		name   string
		speed  float64 // in the gap; 3 m/s around it
		moving float64
	}{
		{"at the usual speed", 3, 660},
		{"slower but moving", 1.6, 660},
		{"faster but possible", 4.4, 660},
		{"hardly moved", 1.4, 600},
		{"too far", 4.6, 600},
		{"not at all", 0, 600},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(without(recording(byDevice, leg{300, 3, 0}, leg{60, test.speed, 0}, leg{300, 3, 0}), 301, 360))
			wantTime(t, "moving", s.Moving, test.moving)
			if s.Notes.Has(load.NoteGap) != (test.moving == 600) {
				t.Errorf("notes %v", s.Notes)
			}
		})
	}
	t.Run("10 s are no gap", func(t *testing.T) {
		s := reduce(without(recording(byDevice, leg{300, 3, 0}, leg{10, 1.2, 0}, leg{300, 3, 0}), 301, 310))
		wantTime(t, "moving", s.Moving, 610)
	})
}

// Nothing but heart rates every 30 s: there is no distance to prove movement, so
// gaps up to a minute count as such.
func TestGapsWithoutSpeed(t *testing.T) {
	a := recording(load.HasHeart, leg{1200, 3, 0})
	var kept []load.Sample
	for at := 0; at <= 1200; at += 30 {
		if at <= 600 || at >= 700 {
			kept = append(kept, a.Samples[at])
		}
	}
	a.Samples = kept
	s := reduce(a)
	wantTime(t, "moving", s.Moving, 600+480)
	wantNotes(t, s, load.NoteGap)
	if _, ok := s.Measures.Get(load.Distance); ok {
		t.Error("a distance out of nothing")
	}
}

// On a treadmill without a distance only the cadence tells standing.
func TestPauseByCadenceAlone(t *testing.T) {
	a := recording(load.HasCadence, leg{300, 0, 165}, leg{60, 0, 0}, leg{300, 0, 165})
	a.Surface = load.Treadmill
	wantTime(t, "moving", reduce(a).Moving, 600)
}
