package ingest_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
)

var (
	now   = load.InstantOf(time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC))
	start = load.InstantOf(time.Date(2026, 5, 31, 7, 0, 0, 0, time.UTC))
)

// steady returns n samples a second apart with every value present.
func steady(n int) []load.Sample {
	samples := make([]load.Sample, n)
	for i := range samples {
		samples[i] = load.Sample{
			At:       start.Add(time.Duration(i) * time.Second),
			Position: load.Position{Lat: 10 + load.Degrees(i)*1e-5, Lon: -30},
			Distance: load.Metres(i) * 3, Altitude: 100, Speed: 3, Cadence: 170, Heart: 140,
			Has: load.HasPosition | load.HasDistance | load.HasAltitude | load.HasSpeed | load.HasCadence | load.HasHeart,
		}
	}
	return samples
}

func running(samples []load.Sample) load.Activity {
	return load.Activity{Sport: load.Running, Start: start, Samples: samples}
}

func sieveOne(a load.Activity) (load.Activity, error) {
	got, err := ingest.Sieve([]load.Activity{a}, ingest.Options{Now: now, Limits: ingest.DefaultLimits})
	if err != nil {
		return load.Activity{}, err
	}
	return got[0], nil
}

// Each judgement takes a clean minute of running, spoils it, and says what is
// left and which notes tell of it.
func TestSieve(t *testing.T) {
	tests := []struct {
		name  string
		spoil func(*load.Activity)
		want  func(*load.Activity) // from the clean minute
		notes string               // codes
	}{
		{"clean", func(*load.Activity) {}, func(*load.Activity) {}, ""},
		{
			"backwards", func(a *load.Activity) { a.Samples[10], a.Samples[11] = a.Samples[11], a.Samples[10] },
			func(*load.Activity) {}, "time",
		},
		{
			"doubled, first one richer", func(a *load.Activity) {
				a.Samples = append(a.Samples[:11], a.Samples[10:]...)
				a.Samples[11].Has, a.Samples[11].Heart = load.HasHeart, 100
			},
			func(*load.Activity) {}, "time",
		},
		{
			"doubled, second one richer", func(a *load.Activity) {
				a.Samples = append(a.Samples[:11], a.Samples[10:]...)
				a.Samples[10].Has, a.Samples[10].Position = load.HasPosition, load.Position{Lat: 11, Lon: -30}
			},
			func(*load.Activity) {}, "time",
		},
		{
			"position and heart rate apart", func(a *load.Activity) {
				apart := a.Samples[10]
				a.Samples = append(a.Samples[:11], a.Samples[10:]...)
				a.Samples[10].Has, a.Samples[10].Heart = apart.Has&^load.HasHeart, 0
				a.Samples[11] = load.Sample{At: apart.At, Heart: apart.Heart, Has: load.HasHeart}
			},
			func(*load.Activity) {}, "time",
		},
		{
			"from the future and from before", func(a *load.Activity) {
				a.Samples[0].At = load.Unix(0)
				a.Samples[59].At = now.Add(49 * time.Hour)
			},
			func(a *load.Activity) { a.Samples = a.Samples[1:59] }, "time",
		},
		{
			"stray", func(a *load.Activity) { a.Samples[0].At = start.Add(-3000 * 24 * time.Hour) },
			func(a *load.Activity) { a.Samples = a.Samples[1:] }, "time",
		},
		{
			"start missing", func(a *load.Activity) { a.Start = 0 },
			func(*load.Activity) {}, "",
		},
		{
			"start a minute before", func(a *load.Activity) { a.Start = start.Add(-time.Minute) },
			func(a *load.Activity) { a.Start = start.Add(-time.Minute) }, "",
		},
		{
			"start earlier", func(a *load.Activity) { a.Start = start.Add(-61 * time.Second) },
			func(*load.Activity) {}, "time",
		},
		{
			"start after the first sample", func(a *load.Activity) { a.Start = start.Add(time.Second) },
			func(*load.Activity) {}, "time",
		},
		{
			"start on another planet's calendar", func(a *load.Activity) { a.Start = math.MinInt64 },
			func(*load.Activity) {}, "time",
		},
		{
			"positions", func(a *load.Activity) {
				a.Samples[1].Position = load.Position{Lat: 91, Lon: 0}
				a.Samples[2].Position = load.Position{Lat: 0, Lon: 181}
				a.Samples[3].Position = load.Position{}
				a.Samples[4].Position = load.Position{Lat: load.Degrees(math.NaN()), Lon: 1}
			},
			func(a *load.Activity) {
				for i := 1; i <= 4; i++ {
					a.Samples[i].Position, a.Samples[i].Has = load.Position{}, a.Samples[i].Has&^load.HasPosition
				}
			}, "position",
		},
		{
			"positions off the globe beside a device's distance", func(a *load.Activity) {
				for i := range a.Samples {
					a.Samples[i].Position = load.Position{Lat: -122.4, Lon: 10}
				}
			},
			func(a *load.Activity) {
				for i := range a.Samples {
					a.Samples[i].Position, a.Samples[i].Has = load.Position{}, a.Samples[i].Has&^load.HasPosition
				}
			}, "position",
		},
		{
			"heart", func(a *load.Activity) {
				for i, bpm := range []load.BPM{0, 24, 25, 245, 246, 255} {
					a.Samples[i].Heart = bpm
				}
			},
			func(a *load.Activity) {
				for _, i := range []int{0, 1, 4, 5} {
					a.Samples[i].Heart, a.Samples[i].Has = 0, a.Samples[i].Has&^load.HasHeart
				}
				a.Samples[2].Heart, a.Samples[3].Heart = 25, 245
			}, "heart",
		},
		{
			"values", func(a *load.Activity) {
				a.Samples[0].Distance = -1
				a.Samples[1].Altitude = load.Metres(math.Inf(1))
				a.Samples[2].Speed = 12.6
				a.Samples[3].Cadence = load.Cadence(math.NaN())
			},
			func(a *load.Activity) {
				a.Samples[0].Distance, a.Samples[0].Has = 0, a.Samples[0].Has&^load.HasDistance
				a.Samples[1].Altitude, a.Samples[1].Has = 0, a.Samples[1].Has&^load.HasAltitude
				a.Samples[2].Speed, a.Samples[2].Has = 0, a.Samples[2].Has&^load.HasSpeed
				a.Samples[3].Cadence, a.Samples[3].Has = 0, a.Samples[3].Has&^load.HasCadence
			}, "value",
		},
		{
			"a ride is faster", func(a *load.Activity) { a.Sport, a.Samples[2].Speed = load.Cycling, 20 },
			func(a *load.Activity) { a.Sport, a.Samples[2].Speed = load.Cycling, 20 }, "",
		},
		{
			"sums", func(a *load.Activity) {
				a.Totals = load.Totals{Elapsed: -1, Timer: 200 * time.Hour, Distance: load.Metres(math.NaN()), Ascent: -1, Descent: 1e9, Steps: -1}
				a.Exertion, a.HasExertion = 11, true
			},
			func(*load.Activity) {}, "value",
		},
		{
			"good sums", func(a *load.Activity) {
				a.Totals = load.Totals{Elapsed: time.Minute, Timer: time.Minute, Distance: 180, Ascent: 1, Descent: 1, Steps: 170}
				a.Exertion, a.HasExertion = 10, true
			},
			func(a *load.Activity) {
				a.Totals = load.Totals{Elapsed: time.Minute, Timer: time.Minute, Distance: 180, Ascent: 1, Descent: 1, Steps: 170}
				a.Exertion, a.HasExertion = 10, true
			}, "",
		},
		{
			"offset", func(a *load.Activity) { a.Offset, a.HasOffset = 1080*time.Second, true },
			func(*load.Activity) {}, "offset",
		},
		{
			"offset of Nepal", func(a *load.Activity) { a.Offset, a.HasOffset = 5*time.Hour+45*time.Minute, true },
			func(a *load.Activity) { a.Offset, a.HasOffset = 5*time.Hour+45*time.Minute, true }, "",
		},
		{
			"pauses", func(a *load.Activity) {
				a.Pauses = []load.Span{
					{From: start.Add(50 * time.Second), To: start.Add(90 * time.Second)},
					{From: math.MinInt64, To: start.Add(5 * time.Second)},
					{From: start.Add(10 * time.Second), To: start.Add(20 * time.Second)},
					{From: start.Add(15 * time.Second), To: start.Add(25 * time.Second)},
					{From: start.Add(30 * time.Second), To: start.Add(29 * time.Second)},
					{From: start.Add(70 * time.Second), To: math.MaxInt64},
				}
			},
			func(a *load.Activity) {
				a.Pauses = []load.Span{
					{From: start, To: start.Add(5 * time.Second)},
					{From: start.Add(10 * time.Second), To: start.Add(25 * time.Second)},
					{From: start.Add(50 * time.Second), To: start.Add(59 * time.Second)},
				}
			}, "",
		},
		{
			"laps", func(a *load.Activity) {
				a.Laps = []load.Lap{
					{Span: load.Span{From: start, To: start.Add(30 * time.Second)}, Timer: 30 * time.Second, Distance: 90},
					{Span: load.Span{From: start.Add(30 * time.Second), To: start}},
					{Span: load.Span{From: start.Add(30 * time.Second), To: math.MaxInt64}},
				}
			},
			func(a *load.Activity) {
				a.Laps = []load.Lap{{Span: load.Span{From: start, To: start.Add(30 * time.Second)}, Timer: 30 * time.Second, Distance: 90}}
			}, "value",
		},
		{
			"name", func(a *load.Activity) { a.Name = " a\x1b[31m\nb " + strings.Repeat("c", 300) },
			func(a *load.Activity) { a.Name = "a\ufffd[31m\ufffdb " + strings.Repeat("c", 190) + "…" }, "",
		},
		{
			"too few samples beside sums", func(a *load.Activity) { a.Samples, a.Totals.Timer = a.Samples[:20], time.Hour },
			func(a *load.Activity) { a.Samples, a.Totals.Timer = nil, time.Hour }, "totals-only",
		},
		{
			"distance alone", func(a *load.Activity) { a.Samples, a.Totals.Distance = nil, 5000 },
			func(a *load.Activity) { a.Samples, a.Totals.Distance = nil, 5000 }, "totals-only",
		},
		{
			"samples without a date beside sums", func(a *load.Activity) {
				for i := range a.Samples {
					a.Samples[i].At = load.Unix(int64(i))
				}
				a.Totals.Timer = time.Minute
			},
			func(a *load.Activity) { a.Samples, a.Totals.Timer = nil, time.Minute }, "time totals-only",
		},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a, want := running(steady(60)), running(steady(60))
			test.spoil(&a)
			test.want(&want)
			got, err := sieveOne(a)
			if err != nil {
				t.Fatal(err)
			}
			var notes []string
			for _, n := range got.Notes {
				notes = append(notes, string(n.Code))
			}
			if s := strings.Join(notes, " "); s != test.notes {
				t.Errorf("notes %q, want %q: %v", s, test.notes, got.Notes)
			}
			got.Notes = nil
			if diff := cmp.Diff(want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestSieveNotesSayHowMuch(t *testing.T) {
	a := running(steady(60))
	a.Samples[0].Position, a.Samples[1].Position = load.Position{}, load.Position{Lat: 91}
	a.Samples[2].Heart, a.Samples[3].Speed = 0, -1
	a.Samples[10], a.Samples[11] = a.Samples[11], a.Samples[10]
	a.Samples[20].At = a.Samples[21].At
	got, err := sieveOne(a)
	if err != nil {
		t.Fatal(err)
	}
	want := load.Notes{
		{Code: load.NoteTime, Text: "the times in the file run backwards in 1 place: the samples were sorted"},
		{Code: load.NoteTime, Text: "samples at a time that was there already were joined with the first: 1"},
		{Code: load.NotePosition, Text: "positions that are nowhere were left out: 1 off the globe, 1 at 0,0, as a receiver writes before it knows"},
		{Code: load.NoteHeart, Text: "heart rates outside 25 to 245, which nobody has, were left out: 1"},
		{Code: load.NoteValue, Text: "values that make no sense were left out: 1 speed"},
	}
	if diff := cmp.Diff(want, got.Notes); diff != "" {
		t.Error(diff)
	}
}

func TestSieveRefuses(t *testing.T) {
	shift := func(d time.Duration) func(*load.Activity) {
		return func(a *load.Activity) {
			a.Start = a.Start.Add(d)
			for i := range a.Samples {
				a.Samples[i].At = a.Samples[i].At.Add(d)
			}
		}
	}
	tests := []struct {
		name   string
		spoil  func(*load.Activity)
		reason string
	}{
		{"future", shift(50 * 365 * 24 * time.Hour), "starts in the future (2076-05-18): set the watch's clock, and write this run into a diary"},
		{"two days and a bit ahead", shift(78 * time.Hour), "starts in the future (2026-06-03): set the watch's clock, and write this run into a diary"},
		{"last century", shift(-30 * 365 * 24 * time.Hour), "no usable time, so nothing says when this was"},
		{"future without a start", func(a *load.Activity) {
			shift(50 * 365 * 24 * time.Hour)(a)
			a.Start = 0
		}, "starts in the future"},
		{"sums without a start", func(a *load.Activity) {
			*a = load.Activity{Totals: load.Totals{Timer: time.Hour}}
		}, "no usable time, so nothing says when this was"},
		{"eight days", func(a *load.Activity) {
			for i := range a.Samples {
				a.Samples[i].At = start.Add(-time.Duration(i) * 200 * time.Minute)
			}
		}, "not one recording: spans 8 days"},
		{"two halves a year apart", func(a *load.Activity) {
			for i := range 30 {
				a.Samples[i].At = a.Samples[i].At.Add(-365 * 24 * time.Hour)
			}
		}, "not one recording: spans 365 days"},
		{"swapped", func(a *load.Activity) {
			for i := range a.Samples {
				a.Samples[i].Position = load.Position{Lat: -122.4, Lon: 10}
				a.Samples[i].Has &^= load.HasDistance
			}
		}, "every position is off the globe (latitude -122.4); latitude and longitude may be swapped"},
		{"off the globe both ways", func(a *load.Activity) {
			for i := range a.Samples {
				a.Samples[i].Position = load.Position{Lat: 200, Lon: 200}
				a.Samples[i].Has &^= load.HasDistance
			}
		}, "every position is off the globe (latitude 200)"},
		{"one sample", func(a *load.Activity) { a.Samples = a.Samples[:1] }, "too short: 0s, usable samples: 1"},
		{"29 s", func(a *load.Activity) { a.Samples = a.Samples[:30] }, "too short: 29s, usable samples: 30"},
		{"sums of 29 s", func(a *load.Activity) {
			a.Samples, a.Totals.Timer, a.Totals.Distance = nil, 29*time.Second, 80
		}, "too short: 29s, usable samples: 0"},
		{"nothing", func(a *load.Activity) { a.Samples = nil }, "no activity in it: neither samples nor sums"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := running(steady(60))
			test.spoil(&a)
			_, err := sieveOne(a)
			if err == nil || err.Error() != test.reason {
				t.Errorf("err = %v, want %s", err, test.reason)
			}
		})
	}
}

func TestSieveKeepsGoodBesideBad(t *testing.T) {
	opt := ingest.Options{Now: now, Limits: ingest.DefaultLimits}
	short := running(steady(10))
	got, err := ingest.Sieve([]load.Activity{short, running(steady(60)), short, running(steady(90))}, opt)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 2 || len(got[0].Samples) != 60 || len(got[1].Samples) != 90 {
		t.Fatalf("%d activities", len(got))
	}
	want := load.Notes{{
		Code: load.NoteSkipped,
		Text: "of the 4 activities in the file some were left out: activity 1: too short: 9s, usable samples: 10; activity 3: too short: 9s, usable samples: 10",
	}}
	if diff := cmp.Diff(want, got[0].Notes); diff != "" {
		t.Error(diff)
	}

	_, err = ingest.Sieve([]load.Activity{short, short}, opt)
	if err == nil || err.Error() != "activity 1: too short: 9s, usable samples: 10" {
		t.Errorf("err = %v", err)
	}
	if _, err = ingest.Sieve(nil, opt); err != ingest.ErrNoActivity {
		t.Errorf("err = %v, want %v", err, ingest.ErrNoActivity)
	}
}

// Sessions that overlap must not disturb one another's samples.
func TestSieveSharedSamples(t *testing.T) {
	all := steady(120)
	all[10].At = now.Add(100 * time.Hour)
	got, err := ingest.Sieve([]load.Activity{running(all[:100]), running(all[60:])},
		ingest.Options{Now: now, Limits: ingest.DefaultLimits})
	if err != nil {
		t.Fatal(err)
	}
	if len(got[0].Samples) != 99 || len(got[1].Samples) != 60 {
		t.Errorf("%d and %d samples, want 99 and 60", len(got[0].Samples), len(got[1].Samples))
	}
}
