package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// rescale multiplies the device's count.
func rescale(a *load.Activity, factor load.Metres) *load.Activity {
	for i := range a.Samples {
		a.Samples[i].Distance *= factor
	}
	return a
}

// count changes the device's count from second first on.
func count(a *load.Activity, first int, change func(second int, m load.Metres) load.Metres) *load.Activity {
	for i := first; i < len(a.Samples); i++ {
		a.Samples[i].Distance = change(i, a.Samples[i].Distance)
	}
	return a
}

// strip removes fields from second first up to, not including, last.
func strip(a *load.Activity, first, last int, fields load.Fields) *load.Activity {
	for i := first; i < last; i++ {
		a.Samples[i].Has &^= fields
	}
	return a
}

func total(a *load.Activity, m load.Metres) *load.Activity {
	a.Totals.Distance = m
	return a
}

func truncated(a *load.Activity) *load.Activity {
	a.Notes.Add(load.NoteTruncated, "the file ends early")
	return a
}

// Ten minutes at 3 m/s: the positions say 1800 m in every case.
func TestDistanceChoice(t *testing.T) {
	both := func() *load.Activity { return recording(onTrack|byDevice|load.HasCadence, leg{600, 3, 170}) }
	device := func() *load.Activity { return recording(byDevice|load.HasCadence, leg{600, 3, 170}) }
	const (
		differs = load.NoteDistance
		choice  = load.NoteDistanceChoice
	)
	for _, test := range []struct {
		name                      string
		made                      *load.Activity
		want                      float64
		source                    load.DistanceSource
		deviceMetres, trackMetres float64
		notes                     []load.NoteCode
	}{
		{"both agree", both(), 1800, load.DistanceFromDevice, 1800, 1800, nil},
		{"within 3 %", rescale(both(), 1.029), 1852.2, load.DistanceFromDevice, 1852.2, 1800, nil},
		{"apart by more", rescale(both(), 1.04), 1872, load.DistanceFromDevice, 1872, 1800, []load.NoteCode{differs}},
		{"apart by more, below", rescale(both(), 0.9), 1620, load.DistanceFromDevice, 1620, 1800, []load.NoteCode{differs}},
		{"miles", rescale(both(), 1/1.609344), 1800, load.DistanceFromTrack, 1118.469, 1800, []load.NoteCode{differs, choice}},
		{"kilometres taken as miles", rescale(both(), 1.609344), 1800, load.DistanceFromTrack, 2896.8192, 1800, []load.NoteCode{differs, choice}},
		{"a tenth", rescale(both(), 0.1), 1800, load.DistanceFromTrack, 180, 1800, []load.NoteCode{differs, choice}},
		{"a thousandth", rescale(both(), 0.001), 1800, load.DistanceFromTrack, 1.8, 1800, []load.NoteCode{differs, choice}},
		{"a thousandfold", rescale(both(), 1000), 1800, load.DistanceFromTrack, 1.8e6, 1800, []load.NoteCode{choice, differs, choice}},
		{"device alone", device(), 1800, load.DistanceFromDevice, 1800, 0, nil},
		{"device alone has no wrong unit to be found", rescale(device(), 0.1), 180, load.DistanceFromDevice, 180, 0, nil},
		{"a session total beside good records", total(both(), 1900), 1800, load.DistanceFromDevice, 1800, 1800, nil},
		{"records cut short", truncated(total(both(), 5400)), 5400, load.DistanceFromSession, 5400, 1800, []load.NoteCode{load.NoteTruncated, choice}},
		{"cut short without a total", truncated(both()), 1800, load.DistanceFromDevice, 1800, 1800, []load.NoteCode{load.NoteTruncated}},
		{"records without distance", total(strip(device(), 0, 601, byDevice), 1750), 1750, load.DistanceFromSession, 1750, 0, []load.NoteCode{choice}},
		{"a count that stays at zero", rescale(both(), 0), 1800, load.DistanceFromTrack, 0, 1800, nil},
		{
			"track with holes and no count, but a total",
			total(strip(strip(both(), 0, 601, byDevice), 100, 300, onTrack), 1800),
			1800, load.DistanceFromTrack, 0, 1800, nil,
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(test.made)
			wantMetres(t, "distance", s.Distance, test.want)
			wantMetres(t, "device's", s.DeviceDistance, test.deviceMetres)
			wantMetres(t, "track's", s.TrackDistance, test.trackMetres)
			if s.DistanceSource != test.source {
				t.Errorf("source %q, want %q", s.DistanceSource, test.source)
			}
			wantNotes(t, s, test.notes...)
			if got, _ := s.Measures.Get(load.Distance); !near(float64(got), 1000*test.want, 1) {
				t.Errorf("measure %d mm, want %.0f", got, 1000*test.want)
			}
		})
	}
}

// The count as devices write it: resets, jitter, jumps, holes, lag.
func TestDistanceCount(t *testing.T) {
	made := func() *load.Activity { return recording(byDevice|load.HasCadence, leg{600, 3, 170}) }
	less := func(a *load.Activity, first int, metres load.Metres) *load.Activity {
		return count(a, first, func(_ int, m load.Metres) load.Metres { return m - metres })
	}
	for _, test := range []struct {
		name  string
		made  *load.Activity
		want  float64
		noted bool
	}{
		{"plain", made(), 1800, false},
		{"back to zero at a lap", less(made(), 300, 900), 1797, true},
		{"back to what was run since", less(made(), 300, 897), 1800, true},
		{"back to another value", less(made(), 300, 500), 1797, true},
		{"carried over from a swim before", less(made(), 0, -1500), 1800, false},
		{"first metres before the first sample", less(made(), 0, -4), 1804, false},
		{"falls by a metre every other second", count(made(), 0, func(i int, m load.Metres) load.Metres { return m - load.Metres(i%2*4) }), 1800, false},
		{"jumps by a kilometre", less(made(), 300, -1000), 1797, true},
		{"known every tenth second", everyTenth(made()), 1800, false},
		{"nothing for two minutes", strip(made(), 100, 220, byDevice), 1800, false},
		// At 6 m/s and one step in 3 s every step is 18 m in its one second.
		{"written every third second", count(rescale(made(), 2), 0, func(i int, m load.Metres) load.Metres { return m - load.Metres(i%3*6) }), 3600, false},
		{"in whole metres", count(rescale(made(), 0.75), 0, func(_ int, m load.Metres) load.Metres { return load.Metres(int(m)) }), 1350, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := reduce(test.made)
			wantMetres(t, "distance", s.Distance, test.want)
			if s.Notes.Has(load.NoteDistanceChoice) != test.noted {
				t.Errorf("notes %v", s.Notes)
			}
			wantTime(t, "moving", s.Moving, 600)
			wantTime(t, "running", s.RunTime, 600)
		})
	}
}

func everyTenth(a *load.Activity) *load.Activity {
	for i := range a.Samples {
		if i%10 != 0 {
			a.Samples[i].Has = load.HasHeart
		}
	}
	return a
}

// The receiver lost its signal on a bend: the straight line is a fifth shorter
// than what the device counted. The device is right (seen on a real watch), even
// where the ratio happens to look like miles.
func TestDistanceWithAHoleInTheTrack(t *testing.T) {
	a := recording(onTrack|byDevice, leg{1800, 3, 0})
	strip(a, 600, 1400, onTrack)
	shift(a, 1400, 1801, -1200)
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 5400)
	wantMetres(t, "track's", s.TrackDistance, 4200)
	if !s.Notes.Has(load.NoteDistance) || s.Notes.Has(load.NoteDistanceChoice) {
		t.Errorf("notes %v", s.Notes)
	}
	shift(a, 1400, 1801, -844.6) // 5400 m are now 1.609 times the track
	if s := reduce(a); s.DistanceSource != load.DistanceFromDevice {
		t.Errorf("the broken track convicted the device: %v", s.Notes)
	}
}

// A segment of more than a minute or of more than 200 m is a hole too, though its
// straight line counts: such a track convicts no device of counting miles.
func TestDistanceWithALongSegment(t *testing.T) {
	for _, test := range []struct {
		speed float64
		gap   int
		want  load.DistanceSource
	}{
		{2, 60, load.DistanceFromTrack},
		{2, 61, load.DistanceFromDevice},
		{4.5, 44, load.DistanceFromTrack},
		{4.5, 45, load.DistanceFromDevice},
	} {
		a := rescale(recording(onTrack|byDevice, leg{1200, test.speed, 0}), 1.609344)
		if s := reduce(without(a, 601, 600+test.gap)); s.DistanceSource != test.want {
			t.Errorf("%d s at %v m/s: %q, want %q", test.gap, test.speed, s.DistanceSource, test.want)
		}
	}
}

// A track of which nine tenths are missing is no proof that the device counts
// tenfold.
func TestDistanceWithATenthOfATrack(t *testing.T) {
	a := recording(onTrack|byDevice, leg{1000, 3, 0})
	strip(strip(a, 0, 450, onTrack), 551, 1001, onTrack)
	s := reduce(a)
	wantMetres(t, "track's", s.TrackDistance, 300)
	if s.DistanceSource != load.DistanceFromDevice {
		t.Errorf("distance %v from %q", s.Distance, s.DistanceSource)
	}
}

// A recording cut short after ten of thirty minutes: the device's timer tells of
// the rest, which was run like most of what is there.
func TestTimeOfARecordingCutShort(t *testing.T) {
	a := truncated(total(recording(complete, leg{500, 3, 170}, leg{100, 1.5, 110}), 5000))
	a.Totals.Timer, a.Totals.Elapsed = 30*time.Minute, 35*time.Minute
	s := reduce(a)
	wantTime(t, "moving", s.Moving, 1800)
	wantTime(t, "running", s.RunTime, 1700)
	wantTime(t, "walking", s.WalkTime, 100)
	wantTime(t, "elapsed", s.Elapsed, 2100)
	// Steps of the rest are not made up: (500*170 + 100*110)/60, and a note says so.
	if s.Steps != 1600 {
		t.Errorf("%d steps, want 1600", s.Steps)
	}
	wantNotes(t, s, load.NoteTruncated, load.NoteDistanceChoice, load.NoteSteps)

	// The same without a word from the reader: the timer alone tells.
	a.Notes = nil
	wantTime(t, "moving", reduce(a).Moving, 1800)
}

// Who pressed start in the ninth kilometre recorded the tenth: 1 km in 333 s. The
// device's own sum of ten stays out of it.
func TestDistanceOfTheLastKilometre(t *testing.T) {
	a := recording(complete, leg{333, 3, 170})
	for i := range a.Samples {
		a.Samples[i].Distance += 9000
	}
	a.Totals.Distance = 9999
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 999)
	if s.DistanceSource != load.DistanceFromDevice || !s.Notes.Has(load.NoteStart) {
		t.Errorf("source %q, notes %v", s.DistanceSource, s.Notes)
	}
}
