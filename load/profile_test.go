package load_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"tidemark/load"
)

// stretchWant is what one stretch of a profile should say; a negative value is
// absent.
type stretchWant struct {
	middle, distance, speed float64 // seconds, metres, m/s
	heart, altitude         float64
}

func wantProfile(t *testing.T, got []load.ProfilePoint, want ...stretchWant) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d stretches, want %d", len(got), len(want))
	}
	for i, w := range want {
		p := &got[i]
		pairs := []struct {
			what      string
			has       load.Fields
			got, want float64
		}{
			{"distance", load.HasDistance, float64(p.Distance), w.distance},
			{"speed", load.HasSpeed, float64(p.Speed), w.speed},
			{"heart", load.HasHeart, float64(p.Heart), w.heart},
			{"altitude", load.HasAltitude, float64(p.Altitude), w.altitude},
		}
		if math.Abs(p.Elapsed.Seconds()-w.middle) > 1e-9 {
			t.Errorf("stretch %d: middle at %v, want %v s", i, p.Elapsed, w.middle)
		}
		for _, q := range pairs {
			if has := p.Has&q.has != 0; has != (q.want >= 0) || has && math.Abs(q.got-q.want) > 1e-6 {
				t.Errorf("stretch %d: %s %v (%v), want %v", i, q.what, q.got, has, q.want)
			}
		}
	}
}

// watched are the fields of a watch with a strap and a barometer but no receiver.
const watched = byDevice | load.HasHeart | load.HasAltitude

// 450 s at 3 m/s, a pause of the device's timer of 300 s without samples, 450 s at
// 3 m/s: twelve stretches of 100 s. The fifth and eighth move for half of their
// time, at 3 m/s; the two between lie in the pause, with 450 x 3 = 1350 m behind.
func TestProfileWithAPause(t *testing.T) {
	a := paused(without(recording(watched, leg{450, 3, 170}, leg{300, 0, 0}, leg{450, 3, 170}), 451, 750), 450, 750)
	wantProfile(t, load.ProfileOf(a, load.Running, 12),
		stretchWant{50, 150, 3, 140, 12}, stretchWant{150, 450, 3, 140, 12},
		stretchWant{250, 750, 3, 140, 12}, stretchWant{350, 1050, 3, 140, 12},
		stretchWant{450, 1350, 3, 140, 12},
		stretchWant{550, 1350, -1, -1, -1}, stretchWant{650, 1350, -1, -1, -1},
		stretchWant{750, 1350, 3, 140, 12},
		stretchWant{850, 1650, 3, 140, 12}, stretchWant{950, 1950, 3, 140, 12},
		stretchWant{1050, 2250, 3, 140, 12}, stretchWant{1150, 2550, 3, 140, 12},
	)
}

// The runner stands at a light for 60 s and the watch goes on: eleven stretches of
// 60 s, the sixth without a speed, 300 x 3 = 900 m behind.
func TestProfileWithAStop(t *testing.T) {
	a := recording(watched, leg{300, 3, 0}, leg{60, 0, 0}, leg{300, 3, 0})
	got := load.ProfileOf(a, load.Running, 11)
	wantProfile(t, got[4:7],
		stretchWant{270, 810, 3, 140, 12}, stretchWant{330, 900, -1, -1, -1}, stretchWant{390, 990, 3, 140, 12})
}

// A day without samples is a gap that is taken as a pause: 86400 s later the rest
// of the run, 24 h 10 min in all, 25 stretches of 3484 s. Only the first and the last
// hold movement.
func TestProfileWithAGap(t *testing.T) {
	a := delay(recording(watched, leg{600, 3, 0}), 300, 24*time.Hour)
	got := load.ProfileOf(a, load.Running, 25)
	for i, p := range got {
		if moves := p.Has&load.HasSpeed != 0; moves != (i == 0 || i == 24) {
			t.Errorf("stretch %d of %d: speed %v", i, len(got), moves)
		}
	}
}

// Two minutes without samples at 3 m/s, as around it: movement, by its distance,
// but nobody knows the heart rate or the altitude. Seven stretches of 60 s, the
// third to fifth of which are asked; the gap is 121 to 240.
func TestProfileAcrossMovement(t *testing.T) {
	a := without(recording(watched, leg{420, 3, 0}), 121, 240)
	got := load.ProfileOf(a, load.Running, 7)
	wantProfile(t, got[1:5],
		stretchWant{90, 270, 3, 140, 12}, stretchWant{150, 450, 3, -1, -1},
		stretchWant{210, 630, 3, -1, -1}, stretchWant{270, 810, 3, 140, 12})
}

// Means go by time, each sample's value for the time since the one before.
func TestProfileMeans(t *testing.T) {
	t.Run("speed", func(t *testing.T) {
		// 40 s at 2 m/s and 20 s at 5 m/s: 80 + 100 = 180 m in 60 s, 3 m/s; in
		// halves 2 m/s, and (10 x 2 + 20 x 5)/30 = 4 m/s. Middles at 15 s (30 m) and
		// 45 s (80 + 5 x 5 = 105 m).
		a := recording(byDevice, leg{40, 2, 0}, leg{20, 5, 0})
		wantProfile(t, load.ProfileOf(a, load.Running, 1), stretchWant{30, 60, 3, -1, -1})
		wantProfile(t, load.ProfileOf(a, load.Running, 2), stretchWant{15, 30, 2, -1, -1}, stretchWant{45, 105, 4, -1, -1})
	})
	t.Run("samples far apart", func(t *testing.T) {
		// The sample of second 10 is the first after 0: 10 s of 150 bpm, 10 s of
		// 120: 135 by time, though ten of eleven samples say 120.
		a := without(recording(watched, leg{20, 3, 0}), 1, 10)
		setHeart(a, 1, 2, 150)
		setHeart(a, 2, 12, 120)
		wantProfile(t, load.ProfileOf(a, load.Running, 1), stretchWant{10, 30, 3, 135, 12})
	})
	t.Run("a strap that is lost", func(t *testing.T) {
		// (30 x 120 + 50 x 160)/80 = 145.
		a := recording(watched, leg{100, 3, 0})
		setHeart(a, 0, 31, 120)
		setHeart(a, 51, 101, 160)
		for i := 31; i < 51; i++ {
			a.Samples[i].Has &^= load.HasHeart
		}
		wantProfile(t, load.ProfileOf(a, load.Running, 1), stretchWant{50, 150, 3, 145, 12})
		// Seconds 31 to 50 are the fourth and the fifth tenth.
		got := load.ProfileOf(a, load.Running, 10)
		for i, want := range []bool{true, true, true, false, false, true, true, true, true, true} {
			if has := got[i].Has&load.HasHeart != 0; has != want {
				t.Errorf("tenth %d: heart %v", i, has)
			}
		}
	})
	t.Run("altitude", func(t *testing.T) {
		// One metre a second: the mean of 1 to 50 is 25.5, that of 51 to 100 75.5.
		a := recording(watched, leg{100, 3, 0})
		for i := range a.Samples {
			a.Samples[i].Altitude = load.Metres(i)
		}
		wantProfile(t, load.ProfileOf(a, load.Running, 2), stretchWant{25, 75, 3, 140, 25.5}, stretchWant{75, 225, 3, 140, 75.5})
		a.Surface = load.Treadmill
		wantProfile(t, load.ProfileOf(a, load.Running, 2), stretchWant{25, 75, 3, 140, -1}, stretchWant{75, 225, 3, 140, -1})
	})
}

// setHeart sets the heart rate of the samples from first up to, not including,
// last.
func setHeart(a *load.Activity, first, last int, heart load.BPM) {
	for i := first; i < last; i++ {
		a.Samples[i].Heart = heart
	}
}

// The distance is that of Reduce: the count, its start included; the track without
// a count, or with one in another unit; else nothing.
func TestProfileDistance(t *testing.T) {
	middle := func(a *load.Activity) (float64, bool) {
		p := load.ProfileOf(a, load.Running, 1)[0]
		return float64(p.Distance), p.Has&load.HasDistance != 0
	}
	late := recording(byDevice, leg{100, 3, 0})
	for i := range late.Samples {
		late.Samples[i].Distance += 8
	}
	miles := recording(byDevice|onTrack, leg{600, 3, 0})
	for i := range miles.Samples {
		miles.Samples[i].Distance /= 1000
	}
	for _, test := range []struct {
		name string
		a    *load.Activity
		want float64 // half of the way
		off  float64 // metres that the length of the track may be off
	}{
		{"counted", recording(byDevice, leg{100, 3, 0}), 150, 1e-6},
		{"counted from 8 m on", late, 158, 1e-6},
		{"by the track", recording(onTrack, leg{100, 3, 0}), 150, 0.01},
		{"counted in kilometres", miles, 900, 0.01},
		{"none", recording(load.HasHeart, leg{100, 3, 0}), -1, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			if got, ok := middle(test.a); ok != (test.want >= 0) || ok && math.Abs(got-test.want) > test.off {
				t.Errorf("%v (%v), want %v", got, ok, test.want)
			}
		})
	}
}

// A count that stood for 8 s and then came with 40 m at once: 40 m/s in that second,
// which is nobody's speed.
func TestProfileLeap(t *testing.T) {
	a := recording(byDevice, leg{9, 0, 0}, leg{1, 40, 0}, leg{10, 3, 0})
	for i, p := range load.ProfileOf(a, load.Running, 20) {
		if p.Speed > 12.5 || i == 9 && p.Has&load.HasSpeed != 0 {
			t.Errorf("second %d: %v m/s", i, p.Speed)
		}
	}
}

func TestProfileLength(t *testing.T) {
	// No stretch is shorter than a second: 5 s are five at most.
	if n := len(load.ProfileOf(recording(byDevice, leg{5, 3, 0}), load.Running, 100)); n != 5 {
		t.Errorf("%d stretches of 5 s, want 5", n)
	}
	// Two samples a millisecond apart are one stretch, its middle after half of it.
	a := recording(byDevice, leg{1, 3, 0})
	a.Samples[1].At = a.Start + 1
	if got := load.ProfileOf(a, load.Running, 10); len(got) != 1 || got[0].Elapsed != 500*time.Microsecond {
		t.Errorf("a millisecond: %+v", got)
	}
	a.Samples = a.Samples[:1]
	if got := load.ProfileOf(a, load.Running, 10); got != nil {
		t.Errorf("one sample: %+v", got)
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic without a point asked for")
		}
	}()
	load.ProfileOf(recording(byDevice, leg{5, 3, 0}), load.Running, 0)
}

// What a recording of any shape must keep to, with samples from a millisecond to
// nine hours apart.
func TestProfileOfAnything(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 12))
	for range 500 {
		a := &load.Activity{Sport: load.Running, Start: sunrise}
		at, east := sunrise, 0.0
		for range 2 + r.IntN(200) {
			at += load.Instant(1 + math.Pow(10, 7.5*r.Float64()))
			east += r.Float64() * 20
			a.Samples = append(a.Samples, load.Sample{
				At: at, Position: eastward(east), Distance: load.Metres(east + r.NormFloat64()),
				Altitude: load.Metres(r.NormFloat64() * 100), Speed: load.Speed(r.Float64() * 6),
				Heart: load.BPM(40 + r.IntN(180)), Has: load.Fields(r.Uint32()) & complete,
			})
			if r.IntN(20) == 0 {
				a.Pauses = append(a.Pauses, load.Span{From: at, To: at.Add(time.Duration(r.Int64N(int64(time.Hour))))})
			}
		}
		checkProfile(t, load.ProfileOf(a, load.Running, 1+r.IntN(500)), at.Sub(sunrise))
	}
}

// checkProfile wants time to rise in equal steps, distance never to fall, and every
// value within what was put in: up to 12.5 m/s, above
// the fastest sprint (12.4, value from memory).
func checkProfile(t *testing.T, points []load.ProfilePoint, total time.Duration) {
	t.Helper()
	each, covered := total.Seconds()/float64(len(points)), load.Metres(0)
	for i, p := range points {
		if want := (float64(i) + 0.5) * each; math.Abs(p.Elapsed.Seconds()-want) > 1e-6*want {
			t.Fatalf("stretch %d of %d in %v at %v", i, len(points), total, p.Elapsed)
		}
		if !(p.Distance >= covered) || p.Has&load.HasDistance == 0 && p.Distance != 0 {
			t.Fatalf("stretch %d: %v after %v", i, p.Distance, covered)
		}
		covered = p.Distance
		if !(p.Speed >= 0 && p.Speed <= 12.5+1e-9) || !(math.Abs(float64(p.Altitude)) < 1000) {
			t.Fatalf("stretch %d: %+v", i, p)
		}
		if p.Has&load.HasHeart != 0 && (p.Heart < 40 || p.Heart >= 220) {
			t.Fatalf("stretch %d: heart %d", i, p.Heart)
		}
	}
}
