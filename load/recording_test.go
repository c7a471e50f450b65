package load_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
)

// equatorDegree is a degree of longitude on the equator of WGS84 in metres,
// pi/180 times 6378137 (printed as 111 320 in common tables).
const equatorDegree = 111319.49079327358

// sunrise is when the invented runs of these tests start.
var sunrise = load.InstantOf(time.Date(2026, time.March, 2, 7, 0, 0, 0, time.UTC))

// utc is the zone of a run whose file says so.
var utc = load.Zone{Name: "UTC", Source: load.ZoneFromFile}

// leg is a part of an invented run: seconds at a speed in m/s and a cadence of
// both feet in steps/min.
type leg struct {
	seconds        int
	speed, cadence float64
}

// recording lays legs along the equator, eastward from 20 degrees west, one
// sample a second with the fields of has.
func recording(has load.Fields, legs ...leg) *load.Activity {
	a := &load.Activity{Sport: load.Running, Start: sunrise, Cadence: load.CadenceBothFeet}
	east, at := 0.0, sunrise
	add := func(l leg) {
		a.Samples = append(a.Samples, load.Sample{
			At: at, Position: eastward(east), Distance: load.Metres(east), Altitude: 12,
			Speed: load.Speed(l.speed), Cadence: load.Cadence(l.cadence), Heart: 140, Has: has,
		})
	}
	add(legs[0])
	for _, l := range legs {
		for range l.seconds {
			east, at = east+l.speed, at.Add(time.Second)
			add(l)
		}
	}
	return a
}

// eastward returns the position so many metres along the equator.
func eastward(metres float64) load.Position {
	return load.Position{Lon: load.Degrees(-20 + metres/equatorDegree)}
}

// without drops the samples from second first up to, not including, last.
func without(a *load.Activity, first, last int) *load.Activity {
	a.Samples = append(a.Samples[:first:first], a.Samples[last:]...)
	return a
}

// paused adds a device's pause in seconds after the start.
func paused(a *load.Activity, from, to int) *load.Activity {
	a.Pauses = append(a.Pauses, load.Span{
		From: a.Start.Add(time.Duration(from) * time.Second),
		To:   a.Start.Add(time.Duration(to) * time.Second),
	})
	return a
}

func reduce(a *load.Activity) load.Session { return load.Reduce("run", a, utc) }

// codes lists the kinds of a session's notes in order.
func codes(s load.Session) (out []load.NoteCode) {
	for _, n := range s.Notes {
		out = append(out, n.Code)
	}
	return out
}

// wantNotes checks the kinds of notes; got is what Reduce gave.
func wantNotes(t *testing.T, s load.Session, want ...load.NoteCode) {
	t.Helper()
	if diff := cmp.Diff(want, codes(s)); diff != "" {
		t.Errorf("notes (-want +got):\n%s%v", diff, s.Notes)
	}
}

// wantTime checks a length of time to the millisecond.
func wantTime(t *testing.T, what string, got time.Duration, seconds float64) {
	t.Helper()
	if want := time.Duration(seconds * float64(time.Second)); got != want {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

// wantMetres checks a length to a millimetre.
func wantMetres(t *testing.T, what string, got load.Metres, want float64) {
	t.Helper()
	if !near(float64(got), want, 1e-3) {
		t.Errorf("%s = %.6f m, want %.6f", what, got, want)
	}
}
