package load_test

import (
	"testing"
	"time"

	"tidemark/load"
)

// said makes an edit of pairs of field and value.
func said(t *testing.T, pairs ...string) (e load.Edit) {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if err := e.Set(pairs[i], pairs[i+1]); err != nil {
			t.Fatal(err)
		}
	}
	return e
}

// amountOf returns a measure in its unit.
func amountOf(t *testing.T, s *load.Session, m load.Measure) float64 {
	t.Helper()
	amount, ok := s.Measures.Get(m)
	if !ok {
		t.Fatalf("no %v", m)
	}
	return m.In(amount)
}

// Half an hour on a belt: the watch counts 5.4 km, the belt 6. Of it 5 min, 0.5 km
// for the watch, were walked.
func belt() *load.Activity {
	a := recording(complete, leg{300, 5.0 / 3, 110}, leg{1500, 4.9 / 1.5, 170})
	a.Surface = load.Treadmill
	return a
}

func TestBeltConfirms(t *testing.T) {
	before := reduce(belt())
	if before.DistanceSource != load.DistanceFromDevice || !before.Notes.Has(load.NoteTreadmill) {
		t.Fatalf("source %q, notes %v", before.DistanceSource, before.Notes)
	}
	s := said(t, "distance", "6").Reduce("run", belt(), utc)
	wantMetres(t, "distance", s.Distance, 6000)
	wantMetres(t, "device", s.DeviceDistance, 5400)
	if s.DistanceSource != load.DistanceTyped || s.Notes.Has(load.NoteTreadmill) || !s.Notes.Has(load.NoteCorrected) {
		t.Errorf("source %q, notes %v", s.DistanceSource, s.Notes)
	}
	// The run part stays 4.9 of 5.4 km.
	if got := amountOf(t, &s, load.RunDistance); !near(got, 6*4.9/5.4, 0.02) {
		t.Errorf("run distance %.3f km, want %.3f", got, 6*4.9/5.4)
	}
	if got := amountOf(t, &s, load.Distance); got != 6 {
		t.Errorf("distance %.3f km in the sums", got)
	}
}

// A confirmed belt sets a tidemark, an estimate does not.
func TestBeltSetsATidemark(t *testing.T) {
	for _, test := range []struct {
		name   string
		edit   load.Edit
		wanted bool
	}{{"estimated", load.Edit{}, false}, {"confirmed", said(t, "distance", "6"), true}} {
		t.Run(test.name, func(t *testing.T) {
			run := test.edit.Reduce("belt", belt(), utc)
			next := reduce(recording(complete, leg{1800, 3, 170}))
			next.ID, next.Day, next.Start, next.End = "next", run.Day+2, run.Start.Add(48*time.Hour), run.End.Add(48*time.Hour)
			h := load.NewHistory(&load.Input{Sessions: []load.Session{run, next}, Today: next.Day}, load.Distance)
			rows := h.SessionRows(next.Day, next.Day)
			tidemark, ok := rows[0].Tidemark.Get()
			if ok != test.wanted || ok && tidemark != 6 {
				t.Errorf("tidemark %v (%v), wanted %v", tidemark, ok, test.wanted)
			}
		})
	}
}

func TestDistanceWhereNoneWasMeasured(t *testing.T) {
	a := recording(load.HasHeart, leg{1800, 0, 0})
	s := said(t, "distance", "5.5", "run", "20").Reduce("run", a, utc)
	if amountOf(t, &s, load.Distance) != 5.5 || s.DistanceSource != load.DistanceTyped {
		t.Errorf("distance %v from %q", s.Distance, s.DistanceSource)
	}
}

// Ten minutes of running and five of walking were really twelve and three: 12/10
// of the 1.8 km that were run.
func TestRunTimeByHand(t *testing.T) {
	a := recording(complete, leg{600, 3, 170}, leg{300, 1.5, 110})
	measured := reduce(a)
	// The last step of the run ends the sample before the walk begins.
	if got := amountOf(t, &measured, load.RunDistance); !near(got, 1.8, 0.005) {
		t.Fatalf("run distance %.4f km", got)
	}
	s := said(t, "run", "12").Reduce("run", a, utc)
	wantTime(t, "running", s.RunTime, 720)
	wantTime(t, "walking", s.WalkTime, 180)
	if got := amountOf(t, &s, load.RunDistance); !near(got, 2.16, 0.006) {
		t.Errorf("run distance %.4f km, want 2.16", got)
	}
	if got := amountOf(t, &s, load.RunTime); got != 12 {
		t.Errorf("run time %.3f min", got)
	}
	if got := amountOf(t, &s, load.Distance); !near(got, 2.25, 1e-6) {
		t.Errorf("the whole became %.3f km", got)
	}
	all := said(t, "run", "400").Reduce("run", a, utc)
	wantTime(t, "no more than all of it", all.RunTime, 900)
	if got := amountOf(t, &all, load.RunDistance); got != amountOf(t, &all, load.Distance) {
		t.Errorf("all of it was run, but %.3f km", got)
	}
}

func TestSurfaceByHand(t *testing.T) {
	a := recording(complete, leg{600, 3, 170})
	s := said(t, "surface", "treadmill").Reduce("run", a, utc)
	if s.Surface != load.Treadmill || s.TrackDistance != 0 || s.HasAscent {
		t.Errorf("surface %q, track %v, ascent %v", s.Surface, s.TrackDistance, s.HasAscent)
	}
	supposed := belt()
	supposed.Notes.Add(load.NoteTreadmill, "as the file has no positions")
	s = said(t, "surface", "road").Reduce("run", supposed, utc)
	if s.Surface != load.Road || s.TrackDistance == 0 || s.Notes.Has(load.NoteTreadmill) {
		t.Errorf("surface %q, track %v, notes %v", s.Surface, s.TrackDistance, s.Notes)
	}
}

// The watch's clock was ten years behind.
func TestDayByHand(t *testing.T) {
	a := recording(complete, leg{600, 3, 170})
	zone := load.Zone{Offset: 11 * time.Hour, Source: load.ZoneFromFile}
	s := said(t, "day", "2036-03-04").Reduce("run", a, zone)
	// 07:00 UTC is 18:00 there.
	if got := s.Start.In(zone.Offset).Format("2006-01-02 15:04"); got != "2036-03-04 18:00" {
		t.Errorf("start %s", got)
	}
	if s.Day != load.Date(2036, time.March, 4) || s.End.Sub(s.Start) != 10*time.Minute || !s.Notes.Has(load.NoteDay) {
		t.Errorf("day %v, lasted %v, notes %v", s.Day, s.End.Sub(s.Start), s.Notes)
	}
}

func TestTextsByHand(t *testing.T) {
	a := recording(complete, leg{600, 3, 170})
	a.Typed = &load.Typed{Day: load.Date(2026, time.March, 2), Note: "from the diary"}
	if s := reduce(a); s.Note != "from the diary" {
		t.Errorf("note %q", s.Note)
	}
	s := said(t, "shoe", "the blue ones", "note", "past the harbour\nand back").Reduce("run", a, utc)
	if s.Shoe != "the blue ones" || s.Note != "past the harbour\nand back" {
		t.Errorf("shoe %q, note %q", s.Shoe, s.Note)
	}
}

func TestEditsThatCannotBe(t *testing.T) {
	for _, pair := range [][2]string{
		{"distance", "0"},
		{"distance", "501"},
		{"distance", "NaN"},
		{"distance", "1e3"},
		{"distance", "-5"},
		{"incline", "41"},
		{"run", "-1"},
		{"surface", "moon"},
		{"day", "1999-12-31"},
		{"day", "2026-02-30"},
		{"day", "tomorrow"},
		{"double", "yes"},
		{"shoe", "two\nlines"},
		{"note", "a bell \a"},
		{"shoe", string(make([]byte, 101))},
	} {
		var e load.Edit
		if err := e.Set(pair[0], pair[1]); err == nil || e != (load.Edit{}) {
			t.Errorf("%s %q was taken: %v", pair[0], pair[1], err)
		}
	}
}
