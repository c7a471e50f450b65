package load_test

import (
	"testing"
	"time"

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

	legs = []leg{{300, 3, 0}}
	for range 12 {
		legs = append(legs, leg{4, 0.1, 0}, leg{1, 3, 0})
	}
	// The last of the sixty seconds is at the speed that follows.
	legs = append(legs, leg{300, 3, 0})
	wantTime(t, "moving", reduce(recording(byDevice, legs...)).Moving, 601)
}

// Where the device paused at all, it knows best: its pauses are the only ones.
func TestDevicePausesWin(t *testing.T) {
	a := recording(byDevice, leg{300, 3, 0}, leg{60, 0, 0}, leg{300, 3, 0}, leg{120, 0, 0}, leg{300, 3, 0})
	paused(a, 660, 780)
	s := reduce(a)
	wantTime(t, "moving", s.Moving, 960)
	wantTime(t, "timer", s.Timer, 960)
	wantTime(t, "elapsed", s.Elapsed, 1080)

	a.Totals.Timer = 955_500 * time.Millisecond
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
		s := reduce(delay(a, 450, 24*time.Hour))
		wantTime(t, "moving", s.Moving, 899)
		wantTime(t, "elapsed", s.Elapsed, 87300)
		if !s.Notes.Has(load.NoteGap) {
			t.Errorf("notes %v", s.Notes)
		}
	}
}

// Gaps at 0.5 to 1.5 times the usual speed are movement, up to a minute a walk is;
// project defaults.
func TestGaps(t *testing.T) {
	for _, test := range []struct {
		name    string
		seconds int
		speed   float64 // in the gap; 3 m/s around it
		moved   bool
	}{
		{"at the usual speed", 60, 3, true},
		{"slower", 60, 1.6, true},
		{"faster but possible", 60, 4.4, true},
		{"a walk", 60, 1.2, true},
		{"hardly moved", 60, 0.9, false},
		{"too far", 60, 4.6, false},
		{"not at all", 60, 0, false},
		{"two minutes at the usual speed", 120, 3, true},
		{"two minutes of half of it", 120, 1.51, true},
		{"two minutes of less", 120, 1.49, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			gap := leg{test.seconds, test.speed, 0}
			s := reduce(without(recording(byDevice, leg{300, 3, 0}, gap, leg{300, 3, 0}), 301, 300+test.seconds))
			want := 600.0
			if test.moved {
				want += float64(test.seconds)
			}
			wantTime(t, "moving", s.Moving, want)
			if s.Notes.Has(load.NoteGap) == test.moved {
				t.Errorf("notes %v", s.Notes)
			}
		})
	}
	t.Run("10 s are no gap", func(t *testing.T) {
		s := reduce(without(recording(byDevice, leg{300, 3, 0}, leg{10, 0.7, 0}, leg{300, 3, 0}), 301, 310))
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

// A runner who stands while the device's distance creeps on has no steps; who
// walks at 1.4 m/s without steps has a sensor that is lost.
func TestPauseWithoutSteps(t *testing.T) {
	creeping := recording(complete, leg{300, 3, 165}, leg{60, 0.8, 0}, leg{300, 3, 165})
	wantTime(t, "moving", reduce(creeping).Moving, 600)
	walking := recording(complete, leg{300, 3, 165}, leg{60, 1.4, 0}, leg{300, 3, 165})
	wantTime(t, "moving", reduce(walking).Moving, 660)
}

// Whoever swims or rows is as slow as a runner who stands.
func TestNoPausesFoundInSlowSports(t *testing.T) {
	for sport, want := range map[load.Sport]float64{load.Swimming: 600, load.OtherSport: 600, load.Walking: 0, load.Cycling: 0} {
		a := recording(onTrack, leg{600, 0.4, 0})
		a.Sport = sport
		wantTime(t, sport.String(), reduce(a).Moving, want)
	}
}

// The speed that the watch writes beside a gap is no proof of movement in it.
func TestGapBesideASpeed(t *testing.T) {
	a := delay(recording(onTrack|load.HasSpeed, leg{600, 3, 0}), 300, 20*time.Minute)
	wantTime(t, "moving", reduce(a).Moving, 599)
	onlySpeed := delay(recording(load.HasSpeed, leg{600, 3, 0}), 300, 20*time.Minute)
	wantTime(t, "moving", reduce(onlySpeed).Moving, 599)
}
