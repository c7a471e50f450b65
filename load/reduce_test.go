package load_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

const (
	onTrack  = load.HasPosition
	byDevice = load.HasDistance
	complete = load.HasPosition | load.HasDistance | load.HasAltitude | load.HasCadence | load.HasHeart
)

// A half hour with a stop at a traffic light and a walk home.
func ExampleReduce() {
	activity := recording(complete,
		leg{1200, 2.5, 164}, leg{60, 0, 0}, leg{300, 3, 168}, leg{240, 1.5, 110})
	activity.Exertion, activity.HasExertion = 4, true

	session := load.Reduce("example", activity, load.Zone{Name: "UTC", Source: load.ZoneFromFile})

	fmt.Println(session.Day, session.Sport)
	fmt.Printf("%.0f m by the %s\n", session.Distance, session.DistanceSource)
	fmt.Println("elapsed", session.Elapsed, "moving", session.Moving)
	fmt.Println("running", session.RunTime, "walking", session.WalkTime)
	fmt.Println("steps", session.Steps)
	exertion, _ := session.Measures.Get(load.Exertion)
	fmt.Println(load.Exertion.In(exertion), load.Exertion.Unit())
	// Output:
	// 2026-03-02 running
	// 4260 m by the device
	// elapsed 30m0s moving 29m0s
	// running 25m0s walking 4m0s
	// steps 4560
	// 120 AU
}

// The day is the civil date where the run started, whatever day it is in UTC.
func TestReduceDay(t *testing.T) {
	for _, test := range []struct {
		name   string
		offset time.Duration
		want   string
	}{
		{"utc", 0, "2026-03-02"},
		{"evening before in the west", -8 * time.Hour, "2026-03-01"},
		{"next day in the east", 17 * time.Hour, "2026-03-03"},
		{"quarter hours", 5*time.Hour + 45*time.Minute, "2026-03-02"},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := load.Reduce("run", recording(onTrack, leg{60, 3, 0}), load.Zone{Offset: test.offset})
			if s.Day.String() != test.want {
				t.Errorf("day %v, want %s", s.Day, test.want)
			}
		})
	}
}

func TestReduceHeading(t *testing.T) {
	a := recording(complete, leg{60, 3, 170})
	a.Detail, a.Surface, a.Device, a.Laps = "trail_run", load.Trail, "a watch", make([]load.Lap, 2)
	a.Notes.Add(load.NoteChecksum, "as the reader found it")
	s := load.Reduce("0042-1", a, utc)

	want := load.Session{
		ID: "0042-1", Start: sunrise, End: sunrise.Add(time.Minute), Zone: utc,
		Detail: "trail_run", Surface: load.Trail, Device: "a watch", Laps: 2, Points: 61, HasPositions: true,
	}
	got := load.Session{
		ID: s.ID, Start: s.Start, End: s.End, Zone: s.Zone, NoStart: s.NoStart, Race: s.Race, Typed: s.Typed,
		Detail: s.Detail, Surface: s.Surface, Device: s.Device, Laps: s.Laps, Points: s.Points, HasPositions: s.HasPositions,
	}
	if diff := cmp.Diff(want, got, cmp.AllowUnexported(load.Amounts{})); diff != "" {
		t.Errorf("heading (-want +got):\n%s", diff)
	}
	wantNotes(t, s, load.NoteChecksum)
	s.Notes.Add(load.NoteGap, "only in the session")
	if len(a.Notes) != 1 {
		t.Error("the activity's own notes were changed")
	}
}

// 1.8 to 6.5 m/s is the project's default for what a run looks like.
func TestReduceJudgesSport(t *testing.T) {
	for _, test := range []struct {
		name  string
		speed float64
		want  load.Sport
	}{
		{"stroll", 1.3, load.UnknownSport},
		{"jog", 1.9, load.Running},
		{"fast run", 6.4, load.Running},
		{"ride", 7.5, load.UnknownSport},
	} {
		t.Run(test.name, func(t *testing.T) {
			a := recording(onTrack, leg{300, test.speed, 0})
			a.Sport = load.UnknownSport
			s := reduce(a)
			if s.Sport != test.want {
				t.Errorf("sport %v, want %v", s.Sport, test.want)
			}
			if !s.Notes.Has(load.NoteSport) {
				t.Error("no note on the sport")
			}
		})
	}
	t.Run("a long slow gap does not outweigh a run", func(t *testing.T) {
		a := without(recording(byDevice, leg{300, 3, 0}, leg{1000, 0.7, 0}), 301, 1300)
		a.Sport = load.UnknownSport
		if s := reduce(a); s.Sport != load.Running {
			t.Errorf("sport %v", s.Sport)
		}
	})
	t.Run("a named sport stays", func(t *testing.T) {
		a := recording(onTrack, leg{300, 3, 0})
		a.Sport = load.Cycling
		s := reduce(a)
		if s.Sport != load.Cycling || s.RunTime != 0 || s.WalkTime != 0 || s.StepsSource != "" {
			t.Errorf("sport %v, run %v, walk %v, steps %q", s.Sport, s.RunTime, s.WalkTime, s.StepsSource)
		}
		wantNotes(t, s)
	})
}

// A ride goes faster than any runner; its positions are no jumps.
func TestReduceRideIsNotCleanedAsARun(t *testing.T) {
	a := recording(onTrack, leg{600, 15, 0})
	a.Sport = load.Cycling
	s := reduce(a)
	wantMetres(t, "distance", s.Distance, 9000)
	wantNotes(t, s)
}

func TestReduceTreadmill(t *testing.T) {
	a := recording(complete, leg{600, 2.5, 164})
	a.Surface = load.Treadmill
	for i := range a.Samples {
		a.Samples[i].Altitude = load.Metres(i)
	}
	s := reduce(a)
	wantNotes(t, s, load.NoteTreadmill)
	wantMetres(t, "distance", s.Distance, 1500)
	if s.HasAscent || s.Ascent != 0 || s.TrackDistance != 0 {
		t.Errorf("ascent %v, track %v on a treadmill", s.Ascent, s.TrackDistance)
	}
}

func TestReduceTotalsOnly(t *testing.T) {
	a := &load.Activity{Sport: load.Running, Start: sunrise, Totals: load.Totals{
		Elapsed: 40 * time.Minute, Timer: 35 * time.Minute, Distance: 6300, Ascent: 80, Descent: 75, Steps: 5800,
	}}
	s := reduce(a)
	wantNotes(t, s, load.NoteTotals)
	wantTime(t, "elapsed", s.Elapsed, 2400)
	wantTime(t, "timer", s.Timer, 2100)
	wantTime(t, "moving", s.Moving, 2100)
	wantTime(t, "running", s.RunTime, 2100)
	wantMetres(t, "distance", s.Distance, 6300)
	if s.DistanceSource != load.DistanceFromSession || !s.HasAscent || s.Ascent != 80 || s.Steps != 5800 {
		t.Errorf("source %q, ascent %v, steps %d", s.DistanceSource, s.Ascent, s.Steps)
	}
	if s.End != sunrise.Add(40*time.Minute) {
		t.Errorf("end %v", s.End.Time())
	}
}

func TestReduceWithoutAnything(t *testing.T) {
	s := reduce(&load.Activity{Sport: load.Running, Start: sunrise})
	wantNotes(t, s, load.NoteTotals)
	for _, m := range load.Measures {
		if amount, ok := s.Measures.Get(m); ok {
			t.Errorf("%v = %d, want none", m, amount)
		}
	}
}

func TestReduceTyped(t *testing.T) {
	day := load.Date(2026, time.March, 1)
	a := &load.Activity{
		Sport: load.Running, Start: load.InstantOf(day.Noon()), Exertion: 5, HasExertion: true,
		Totals: load.Totals{Elapsed: 50 * time.Minute, Timer: 50 * time.Minute, Distance: 7250, Ascent: 40, Steps: 7400},
		Typed:  &load.Typed{Day: day, RunTime: 45 * time.Minute, Race: true},
	}
	// A zone that would move noon to another day leaves a typed day alone.
	s := load.Reduce("row", a, load.Zone{Offset: 13 * time.Hour, Source: load.ZoneFromHome})
	wantNotes(t, s, load.NoteGait)
	if s.Day != day || !s.NoStart || !s.Race || !s.Typed {
		t.Errorf("day %v, no start %v, race %v, typed %v", s.Day, s.NoStart, s.Race, s.Typed)
	}
	wantTime(t, "running", s.RunTime, 2700)
	wantTime(t, "walking", s.WalkTime, 300)
	if s.DistanceSource != load.DistanceTyped || s.StepsSource != load.StepsTyped || s.Ascent != 40 {
		t.Errorf("distance %q, steps %q, ascent %v", s.DistanceSource, s.StepsSource, s.Ascent)
	}
	// Nine tenths of the time are taken for nine tenths of the distance.
	want := map[load.Measure]load.Amount{
		load.Distance: 7_250_000, load.Time: 3_000_000, load.RunDistance: 6_525_000, load.RunTime: 2_700_000,
		load.Exertion: 250_000, load.Steps: 7400,
	}
	for m, amount := range want {
		if got, ok := s.Measures.Get(m); !ok || got != amount {
			t.Errorf("%v = %d (%v), want %d", m, got, ok, amount)
		}
	}
}

func TestReduceTypedWalkHasNoRunTime(t *testing.T) {
	day := load.Date(2026, time.March, 1)
	s := reduce(&load.Activity{
		Sport: load.Walking, Start: load.InstantOf(day.Noon()), Totals: load.Totals{Timer: time.Hour},
		Typed: &load.Typed{Day: day, HasStart: true},
	})
	wantTime(t, "running", s.RunTime, 0)
	wantTime(t, "walking", s.WalkTime, 3600)
	if _, ok := s.Measures.Get(load.Distance); ok || s.NoStart {
		t.Errorf("distance set %v, no start %v", ok, s.NoStart)
	}
}

// Mean by time: 100 for 60 s and 160 for 120 s are (100*60+160*120)/180 = 140;
// the seconds without a value count for nothing beyond the first five.
func TestReduceHeart(t *testing.T) {
	a := recording(complete, leg{180, 3, 170})
	for i := range a.Samples {
		a.Samples[i].Heart = 160
		if i <= 60 {
			a.Samples[i].Heart = 100
		}
	}
	if s := reduce(a); s.HeartMean != 140 || s.HeartMax != 160 {
		t.Errorf("heart %d, max %d, want 140 and 160", s.HeartMean, s.HeartMax)
	}
	// Seconds 0 to 4 at 100 weigh 5, one value of 160 long after weighs 5 as well.
	for i := 5; i < len(a.Samples); i++ {
		if i != 160 {
			a.Samples[i].Has &^= load.HasHeart
		}
	}
	if s := reduce(a); s.HeartMean != 130 || s.HeartMax != 160 {
		t.Errorf("heart %d, max %d, want 130 and 160", s.HeartMean, s.HeartMax)
	}
	a.Samples = a.Samples[61:120]
	if s := reduce(a); s.HeartMean != 0 || s.HeartMax != 0 {
		t.Errorf("heart %d, max %d without any", s.HeartMean, s.HeartMax)
	}
}

// FuzzReduce holds the invariants of a session over activities of all shapes.
func FuzzReduce(f *testing.F) {
	f.Add([]byte("an hour and a bit of nothing in particular, as bytes"), uint8(1), int32(0))
	f.Add([]byte{0xff, 3, 1, 1, 200, 100, 90, 150, 2, 0xff, 0, 0, 0, 0, 0, 0, 0, 255, 255, 7, 9, 9, 9, 9}, uint8(0), int32(3600))
	f.Add(slices.Repeat([]byte{0x7f, 1, 4, 0, 3, 0, 3, 12, 85, 150}, 200), uint8(17), int32(-18000))
	f.Add(slices.Repeat([]byte{0x03, 250, 0, 8, 20, 0, 9, 1, 2, 3, 0x7f, 0, 0, 0, 3, 0, 3, 12, 85, 150}, 80), uint8(34), int32(46800))
	f.Fuzz(func(t *testing.T, data []byte, kind uint8, offset int32) {
		a := inventedActivity(data, kind)
		zone := load.Zone{Offset: time.Duration(offset%50400) * time.Second}
		s := load.Reduce("fuzz", a, zone)
		checkInvariants(t, a, zone, &s)
		again := load.Reduce("fuzz", a, zone)
		if diff := cmp.Diff(s, again, cmp.AllowUnexported(load.Amounts{})); diff != "" {
			t.Errorf("not the same twice:\n%s", diff)
		}
	})
}

// inventedActivity builds an activity from bytes, ten a sample: which values it has, how
// far on in time, and the values within the range that the readers let through.
func inventedActivity(data []byte, kind uint8) *load.Activity {
	a := &load.Activity{
		Sport: load.Sport(kind % 6), Cadence: load.CadenceCount(kind / 6 % 3), Start: sunrise,
		HasExertion: kind%2 == 0, Exertion: float64(kind % 11),
	}
	if kind > 200 {
		a.Surface = load.Treadmill
	}
	at := sunrise
	lat, lon, far := 60.0, 179.999, 0.0
	for ; len(data) >= 10; data = data[10:] {
		at += load.Instant(data[1])*load.Instant(1+int(data[2])*37) + 1
		lat = min(90, max(-90, lat+float64(int8(data[3]))*1e-5))
		lon = math.Remainder(lon+float64(int8(data[4]))*math.Pow10(int(data[5]%5)-6), 360)
		far = max(0, far+float64(int8(data[6])))
		a.Samples = append(a.Samples, load.Sample{
			At: at, Position: load.Position{Lat: load.Degrees(lat), Lon: load.Degrees(lon)},
			Distance: load.Metres(far), Altitude: load.Metres(binary.LittleEndian.Uint16(data[6:])) - 500,
			Speed: load.Speed(data[7]) / 10, Cadence: load.Cadence(data[8]), Heart: load.BPM(25 + int(data[9])%221),
			Has: load.Fields(data[0]) & (complete | load.HasSpeed),
		})
		if data[2] == 9 {
			a.Pauses = append(a.Pauses, load.Span{From: at - load.Instant(data[9])*100, To: at + load.Instant(data[8])*1000})
		}
	}
	if len(data) > 3 {
		a.Totals = load.Totals{
			Elapsed: time.Duration(data[0]) * time.Minute, Timer: time.Duration(data[1]) * time.Minute,
			Distance: load.Metres(data[2]) * 100, Steps: int(data[3]) * 50,
		}
		if data[0]%3 == 0 {
			a.Notes.Add(load.NoteTruncated, "cut")
		}
	}
	return a
}

func checkInvariants(t *testing.T, a *load.Activity, zone load.Zone, s *load.Session) {
	t.Helper()
	if want := load.DayOf(a.Start.Time().Add(zone.Offset)); s.Day != want {
		t.Errorf("day %v, want %v", s.Day, want)
	}
	if s.RunTime < 0 || s.WalkTime < 0 || s.RunTime+s.WalkTime > s.Moving || s.Moving > s.Elapsed || s.Timer < 0 || s.Timer > s.Elapsed {
		t.Errorf("run %v + walk %v, moving %v, timer %v, elapsed %v", s.RunTime, s.WalkTime, s.Moving, s.Timer, s.Elapsed)
	}
	for what, v := range map[string]float64{
		"distance": float64(s.Distance), "device": float64(s.DeviceDistance), "track": float64(s.TrackDistance),
		"ascent": float64(s.Ascent), "descent": float64(s.Descent), "cadence": float64(s.CadenceMean), "steps": float64(s.Steps),
	} {
		if !(v >= 0) || math.IsInf(v, 0) {
			t.Errorf("%s = %v", what, v)
		}
	}
	for _, m := range load.Measures {
		if amount, ok := s.Measures.Get(m); amount < 0 || !ok && amount != 0 {
			t.Errorf("%v = %d, %v", m, amount, ok)
		}
	}
	if (s.Distance > 0) != (s.DistanceSource != "" && s.Distance != 0) || s.HeartMean > s.HeartMax {
		t.Errorf("distance %v from %q, heart %d of at most %d", s.Distance, s.DistanceSource, s.HeartMean, s.HeartMax)
	}
}

// BenchmarkReduce reduces an hour at 1 Hz with all fields but speed.
func BenchmarkReduce(b *testing.B) {
	a := recording(complete, leg{1800, 2.8, 166}, leg{60, 0, 0}, leg{1740, 3.1, 170})
	for i := range a.Samples {
		p := &a.Samples[i]
		p.Position.Lat = load.Degrees(48 + float64(i)*2e-5)
		p.Altitude = load.Metres(200 + 30*math.Sin(float64(i)/300))
	}
	b.ReportAllocs()
	for b.Loop() {
		load.Reduce("bench", a, utc)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(len(a.Samples)), "ns/sample")
}
