package load_test

import (
	"math"
	"testing"

	"tidemark/load"
)

// exactLength is the local formula as printed in textbooks, without any short cut.
func exactLength(p, q load.Position) float64 {
	const a, f = 6378137.0, 1 / 298.257223563
	e2 := f * (2 - f)
	lat := float64(p.Lat+q.Lat) / 2 * math.Pi / 180
	w := 1 - e2*math.Pow(math.Sin(lat), 2)
	m := a * (1 - e2) / math.Pow(w, 1.5)
	n := a / math.Sqrt(w)
	dLon := math.Mod(float64(q.Lon-p.Lon)+540, 360) - 180
	return math.Hypot(m*float64(q.Lat-p.Lat)*math.Pi/180, n*math.Cos(lat)*dLon*math.Pi/180)
}

// The length of a degree on WGS84. 110 574, 111 132, 111 694 and 111 320 m are
// printed in common tables; the millimetres were computed by an independent
// program from pi M/180 and pi N cos(lat)/180.
func TestBetweenDegrees(t *testing.T) {
	for _, test := range []struct{ lat, north, east float64 }{
		{0, 110574.276, 111319.491},
		{15, 110648.696, 107550.489},
		{30, 110852.442, 96486.280},
		{45, 111131.777, 78846.835},
		{60, 111412.287, 55800.002},
		{75, 111618.384, 28902.006},
	} {
		// A thousandth of a degree around the latitude, times a thousand.
		half := load.Degrees(0.0005)
		lat := load.Degrees(test.lat)
		north := load.Between(load.Position{Lat: lat - half, Lon: 7}, load.Position{Lat: lat + half, Lon: 7})
		wantMetres(t, "degree north", north*1000, test.north)
		east := load.Between(load.Position{Lat: lat, Lon: 7 - half}, load.Position{Lat: lat, Lon: 7 + half})
		wantMetres(t, "degree east", east*1000, test.east)
	}
	t.Run("at the pole", func(t *testing.T) {
		got := load.Between(load.Position{Lat: 89.999, Lon: 7}, load.Position{Lat: 90, Lon: 7})
		wantMetres(t, "degree north", got*1000, 111693.980)
		if turn := load.Between(load.Position{Lat: 90, Lon: 0}, load.Position{Lat: 90, Lon: 120}); turn > 1e-6 {
			t.Errorf("turning on the pole is %v m long", turn)
		}
	})
}

// The way from the equator to the pole on WGS84 is 10 001 965.729 m (printed in
// geodesy texts; value from memory).
func TestBetweenQuarterMeridian(t *testing.T) {
	var sum load.Metres
	for i := range 90000 {
		p := load.Position{Lat: load.Degrees(float64(i) / 1000)}
		q := load.Position{Lat: load.Degrees(float64(i+1) / 1000)}
		sum += load.Between(p, q)
	}
	wantMetres(t, "quarter meridian", sum, 10001965.729)
}

// Two positions on either side of the antimeridian, by Vincenty's formula.
func TestBetweenAntimeridian(t *testing.T) {
	west, east := load.Position{Lat: -17, Lon: 179.999}, load.Position{Lat: -17, Lon: -179.999}
	for _, pair := range [][2]load.Position{{west, east}, {east, west}} {
		if got := load.Between(pair[0], pair[1]); !near(float64(got), 212.971662, 1e-6) {
			t.Errorf("Between = %.6f m, want 212.971662", got)
		}
	}
}

// Flinders Peak to Buninyong is 54 972.271 m (GDA technical manual). The formula
// is made for segments, and at 55 km still within 10 ppm; the lines over oceans
// in the same lists are none of its business.
func TestBetweenLongLine(t *testing.T) {
	dms := func(d, m, s float64) load.Degrees { return load.Degrees(d + m/60 + s/3600) }
	flinders := load.Position{Lat: -dms(37, 57, 3.72030), Lon: dms(144, 25, 29.52440)}
	buninyong := load.Position{Lat: -dms(37, 39, 10.15610), Lon: dms(143, 55, 35.38390)}
	if got := float64(load.Between(flinders, buninyong)); !near(got, 54972.271, 54972.271*1e-5) {
		t.Errorf("Between = %.3f m, want 54 972.271 to 10 ppm", got)
	}
}

// A track reuses the length of a degree while the latitude hardly moves. Summed
// over 40 km of wandering, that must stay within 0.1 ppm of the formula applied
// to each segment by itself.
func TestTrackLengthAgainstEverySegment(t *testing.T) {
	for _, lat := range []float64{0, -34, 48, 60, 78, -89.9} {
		a := recording(onTrack, leg{14000, 2.9, 0})
		p := load.Position{Lat: load.Degrees(lat), Lon: 179.9}
		want := 0.0
		for i := range a.Samples {
			heading := float64(i)/400 + math.Sin(float64(i)/37)
			if i > 4000 {
				heading = 0.8 // 29 km to the north-east
			}
			next := load.Position{
				Lat: p.Lat + load.Degrees(2.9/111300*math.Cos(heading)),
				Lon: p.Lon + load.Degrees(2.9/111300/math.Cos(lat*math.Pi/180)*math.Sin(heading)),
			}
			if next.Lon > 180 {
				next.Lon -= 360
			}
			if i > 0 {
				want += exactLength(p, next)
				p = next
			}
			a.Samples[i].Position = p
		}
		s := reduce(a)
		if got := float64(s.TrackDistance); math.Abs(got-want) > 1e-7*want || s.Notes.Has(load.NoteJump) {
			t.Errorf("at %v degrees: track %.6f m, want %.6f; notes %v", lat, got, want, s.Notes)
		}
	}
}
