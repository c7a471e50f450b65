package load_test

import (
	"slices"
	"testing"

	"tidemark/load"
)

// Ten minutes at 3 m/s are 1800 m. The bounds of 7 m/s for 20 s are the load
// reference's, two minutes without any cadence and the rest the project's.
func TestCarried(t *testing.T) {
	for _, test := range []struct {
		name   string
		legs   []leg
		has    load.Fields
		metres float64
		moving float64
		left   bool
	}{
		{"home by bicycle", []leg{{600, 3, 170}, {300, 9, 0}}, complete, 1800, 600, true},
		{"with slower parts at its ends", []leg{{600, 3, 170}, {5, 4, 0}, {60, 9, 0}, {5, 4, 0}}, complete, 1800, 600, true},
		{"nineteen seconds downhill", []leg{{600, 3, 170}, {19, 7.5, 0}}, complete, 1942.5, 619, false},
		{"a fast lap with its steps", []leg{{600, 3, 170}, {60, 7.5, 195}}, complete, 2250, 660, false},
		{"no cadence, a minute", []leg{{600, 3, 0}, {60, 7.5, 0}}, onTrack, 2250, 660, false},
		{"no cadence, two minutes", []leg{{600, 3, 0}, {121, 7.5, 0}}, onTrack, 1800, 600, true},
		{"the device's count too", []leg{{600, 3, 170}, {120, 10, 0}, {600, 3, 170}}, complete, 3600, 1200, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(recording(test.has, test.legs...))
			wantMetres(t, "distance", s.Distance, test.metres)
			wantTime(t, "moving", s.Moving, test.moving)
			if s.Notes.Has(load.NoteCarried) != test.left {
				t.Errorf("notes %v", s.Notes)
			}
		})
	}
}

// A ride is no carriage.
func TestCarriedIsForThoseOnFoot(t *testing.T) {
	a := recording(complete, leg{600, 9, 0})
	a.Sport = load.Cycling
	if s := reduce(a); s.Notes.Has(load.NoteCarried) || s.Distance < 5000 {
		t.Errorf("distance %v, notes %v", s.Distance, s.Notes)
	}
}

// From 3 m/s to 13.5 is more than 10 m/s faster within a second, to 12 is not: a
// position 10.5 m ahead of its place is dropped, one 9 m ahead kept.
func TestTrackDropsLeapsInSpeed(t *testing.T) {
	for _, test := range []struct {
		ahead float64
		kept  bool
	}{{9, true}, {9.4, true}, {10.5, false}} {
		a := shift(recording(onTrack, leg{600, 2, 0}), 300, 301, test.ahead)
		kept := load.KeptPositions(a, load.Running)
		if kept[300] != test.kept {
			t.Errorf("%v m ahead: kept %v", test.ahead, kept[300])
		}
		if n := len(slices.DeleteFunc(kept, func(k bool) bool { return !k })); n != 601 && n != 600 {
			t.Errorf("%d positions kept", n)
		}
	}
}

// 83 m out in one second and 77 back in the next stand for 6 m of running.
func TestRawOf(t *testing.T) {
	raw := load.RawOf(shift(recording(onTrack, leg{600, 3, 0}), 300, 301, 80))
	wantMetres(t, "raw track", raw.Track, 1800+83+77-6)
	if raw.Positions != 601 || !near(float64(raw.Fastest), 83, 1e-3) {
		t.Errorf("%+v", raw)
	}
	if raw := load.RawOf(&load.Activity{}); raw != (load.Raw{}) {
		t.Errorf("of nothing: %+v", raw)
	}
}

// Three spells of two minutes with walks of a minute between, and a stop of 30 s
// that ends none.
func TestRunSpells(t *testing.T) {
	a := recording(complete,
		leg{120, 3, 170}, leg{60, 1.4, 110}, leg{60, 3, 170}, leg{30, 0, 0}, leg{60, 3, 170}, leg{60, 1.4, 110}, leg{120, 3, 170})
	s := reduce(a)
	if s.RunSpells != 3 {
		t.Errorf("%d spells, want 3", s.RunSpells)
	}
	a = recording(complete, leg{120, 3, 170}, leg{90, 0, 0}, leg{120, 3, 170})
	if s := reduce(a); s.RunSpells != 2 {
		t.Errorf("%d spells around a stop of a minute and a half, want 2", s.RunSpells)
	}
}

func TestRunDistanceOfARunIsItsDistance(t *testing.T) {
	s := reduce(recording(complete, leg{600, 3, 170}))
	if got, want := amountOf(t, &s, load.RunDistance), amountOf(t, &s, load.Distance); got != want {
		t.Errorf("%v km run of %v", got, want)
	}
}
