package web

import (
	"fmt"
	"math"
	"slices"

	"tidemark/load"
)

// cleanedLine is one thing as it was recorded and as it counts.
type cleanedLine struct{ Name, Recorded, Counted string }

// leastCleaned is by how many metres of track or ascent the two must differ to be shown;
// project default.
const leastCleaned = 10

// cleanedOf holds what was recorded against what was made of it, where they differ.
func cleanedOf(rec *recording) (out []cleanedLine) {
	s, a := &rec.session, &rec.activity
	add := func(name, recorded, counted string) { out = append(out, cleanedLine{name, recorded, counted}) }
	raw := load.RawOf(a)
	kept := keptOf(load.KeptPositions(a, s.Sport))
	if raw.Positions > kept {
		add("positions", fmt.Sprint(raw.Positions), fmt.Sprint(kept))
	}
	if math.Abs(float64(raw.Track-s.TrackDistance)) >= leastCleaned {
		add("length of the track", km(raw.Track), km(s.TrackDistance))
		add("fastest step of it", fmt.Sprintf("%.1f m/s", float64(raw.Fastest)), "")
	}
	if up := load.RawAscent(a); s.HasAscent && math.Abs(float64(up-s.Ascent)) >= leastCleaned {
		add("ascent", fmt.Sprintf("%.0f m", float64(up)), fmt.Sprintf("%.0f m", float64(s.Ascent)))
	}
	if s.DistanceSource == load.DistanceTyped && s.DeviceDistance > 0 && !s.Typed {
		add("distance", km(s.DeviceDistance), km(s.Distance))
	}
	return out
}

func keptOf(kept []bool) int {
	return len(slices.DeleteFunc(slices.Clone(kept), func(k bool) bool { return !k }))
}

func km(m load.Metres) string { return fmt.Sprintf("%.2f km", float64(m)/1000) }

// ascentFrom says how ascent was made.
func ascentFrom(s *load.Session, kind load.AltitudeKind) string {
	if s.Typed || !s.HasAscent {
		return ""
	}
	if s.Surface == load.Treadmill {
		return "of the belt's incline"
	}
	window, threshold := load.AscentSettings(kind)
	return fmt.Sprintf("altitudes averaged over %.0f s, climbs under %.0f m left out", window.Seconds(), float64(threshold))
}

// flatOf writes the flat-equivalent distance with its band, where it is not the
// distance itself.
func flatOf(s *load.Session) string {
	flat, ok := s.Measures.Get(load.Flat)
	if !ok || !s.HasAscent {
		return ""
	}
	low, high := load.Flat.In(flat), float64(s.FlatACSM)/1000
	if high < low {
		low, high = high, low
	}
	if high-low < 0.05 {
		return fmt.Sprintf("%.1f km", low)
	}
	return fmt.Sprintf("%.1f to %.1f km", low, high)
}
