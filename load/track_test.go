package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// shift moves the positions from second first up to, not including, last by so
// many metres to the east.
func shift(a *load.Activity, first, last int, metres float64) *load.Activity {
	for i := first; i < last; i++ {
		a.Samples[i].Position.Lon += load.Degrees(metres / equatorDegree)
	}
	return a
}

// Ten minutes at 3 m/s are 1800 m; 12.5 m/s and five drops in a row are the
// project's limits.
func TestTrackCleaning(t *testing.T) {
	ten := func() *load.Activity { return recording(onTrack, leg{600, 3, 0}) }
	for _, test := range []struct {
		name  string
		made  *load.Activity
		want  float64
		notes []load.NoteCode
	}{
		{"clean", ten(), 1800, nil},
		{"one position 80 m off", shift(ten(), 300, 301, 80), 1800, []load.NoteCode{load.NoteJump}},
		{"five positions 500 m off", shift(ten(), 300, 305, 500), 1800, []load.NoteCode{load.NoteJump}},
		// Seconds 300 to 304 are dropped, 305 is believed without the way
		// there, which leaves out 299 to 305: 1800 - 18.
		{"moved by 5 km for good", shift(ten(), 300, 601, 5000), 1782, []load.NoteCode{load.NoteJump}},
		{"a first position that was stale", shift(ten(), 0, 1, -9000), 1782, []load.NoteCode{load.NoteJump}},
		{"8 m off is within what can be run", shift(ten(), 300, 601, 8), 1808, nil},
		{"4 s without samples", without(ten(), 300, 304), 1800, nil},
		{"30 s without samples at the usual speed", without(ten(), 300, 330), 1800, nil},
		// A straight line of 93 + 100 m in 31 s is 6.2 m/s, over 1.3 times 3 m/s.
		{"30 s without samples, too far", shift(without(ten(), 300, 330), 300, 571, 100), 1707, []load.NoteCode{load.NoteJump, load.NoteGap}},
		// Slower than half of 3 m/s, so no running; but the metres are there.
		{"two minutes without samples", shift(delay(ten(), 300, 2*time.Minute), 300, 601, 117), 1917, []load.NoteCode{load.NoteGap}},
		// The watch was off for an hour while its wearer went 900 m elsewhere.
		{"an hour without samples", shift(delay(ten(), 300, time.Hour), 300, 601, 900), 1797, []load.NoteCode{load.NoteJump, load.NoteGap}},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(test.made)
			wantMetres(t, "distance", s.Distance, test.want)
			if s.DistanceSource != load.DistanceFromTrack || s.TrackDistance != s.Distance || s.DeviceDistance != 0 {
				t.Errorf("source %q, track %v, device %v", s.DistanceSource, s.TrackDistance, s.DeviceDistance)
			}
			s.Notes = dropCode(s.Notes, load.NoteSteps)
			wantNotes(t, s, test.notes...)
		})
	}
}

// delay moves the samples from second first on to a later time.
func delay(a *load.Activity, first int, by time.Duration) *load.Activity {
	for i := first; i < len(a.Samples); i++ {
		a.Samples[i].At = a.Samples[i].At.Add(by)
	}
	return a
}

// dropCode returns notes without those of a code that a test is not about.
func dropCode(notes load.Notes, code load.NoteCode) (out load.Notes) {
	for _, n := range notes {
		if n.Code != code {
			out = append(out, n)
		}
	}
	return out
}

// The speed that counts is that of the minutes around: 30 s without samples in
// a fast minute of a long walk.
func TestTrackGapAmongItsNeighbours(t *testing.T) {
	a := without(recording(onTrack, leg{1800, 1.5, 0}, leg{150, 5, 0}), 1860, 1890)
	wantMetres(t, "distance", reduce(a).Distance, 2700+750)
}

// A watch that writes a sample every 20 to 60 s while its wearer runs on is all
// gaps, and they are all movement.
func TestTrackOfSparseSamples(t *testing.T) {
	a := recording(onTrack, leg{1200, 3, 0})
	var kept []load.Sample
	for at := 0; at <= 1200; at += 20 + 20*(at/20%3) {
		kept = append(kept, a.Samples[at])
	}
	a.Samples = kept
	last := kept[len(kept)-1].At.Sub(sunrise).Seconds()
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 3*last)
	wantTime(t, "moving", s.Moving, last)
}

// Positions on every third sample only: their length belongs to all three.
func TestTrackWithPositionsNowAndThen(t *testing.T) {
	a := recording(onTrack|load.HasHeart, leg{600, 3, 0})
	for i := range a.Samples {
		if i%3 != 0 {
			a.Samples[i].Has = load.HasHeart
		}
	}
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 1800)
	wantTime(t, "running", s.RunTime, 600)
}

// Some watches record on while paused: 100 s at 1 m/s are no part of the run.
func TestTrackInDevicePause(t *testing.T) {
	a := paused(recording(onTrack, leg{300, 3, 0}, leg{100, 1, 0}, leg{300, 3, 0}), 300, 400)
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 1800)
	wantTime(t, "moving", s.Moving, 600)
	wantTime(t, "timer", s.Timer, 600)
	wantTime(t, "elapsed", s.Elapsed, 700)
}

// Subsecond samples carry on as whole ones do.
func TestTrackAtFiveHertz(t *testing.T) {
	a := recording(onTrack, leg{3000, 0.6, 0})
	for i := range a.Samples {
		a.Samples[i].At = sunrise.Add(time.Duration(i) * 200 * time.Millisecond)
	}
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 1800)
	wantTime(t, "running", s.RunTime, 600)
}

// A sprint of 30 s between two samples, 120 m at 4 m/s in a run at 2 m/s: too
// fast for what is around, but the device counted the same 120 m.
func TestTrackGapThatTheDeviceCounted(t *testing.T) {
	made := func() *load.Activity {
		a := recording(onTrack|byDevice, leg{300, 2, 0}, leg{30, 4, 0}, leg{300, 2, 0})
		return without(a, 301, 330)
	}
	for _, test := range []struct {
		name    string
		counted load.Metres // of the device in the gap
		want    float64
	}{
		{"as long as the line", 120, 1320},
		{"3 % less", 117, 1320},
		{"10 % less", 108, 1200},
		{"nothing", 0, 1200},
	} {
		t.Run(test.name, func(t *testing.T) {
			a := made()
			count(a, 301, func(_ int, m load.Metres) load.Metres { return m - 120 + test.counted })
			wantMetres(t, "track", reduce(a).TrackDistance, test.want)
		})
	}
}
