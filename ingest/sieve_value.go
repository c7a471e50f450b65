package ingest

import (
	"fmt"
	"strings"
	"time"

	"tidemark/load"
)

// The heart rates of the living. Straps write 0 while they have no contact and
// 255 for "invalid"; project defaults.
const (
	slowestHeart load.BPM = 25
	fastestHeart load.BPM = 245
)

// sieveHearts drops the heart rates that are none.
func sieveHearts(a *load.Activity) {
	dropped := 0
	for i := range a.Samples {
		s := &a.Samples[i]
		if s.Got(load.HasHeart) && (s.Heart < slowestHeart || s.Heart > fastestHeart) {
			s.Has &^= load.HasHeart
			s.Heart = 0
			dropped++
		}
	}
	if dropped > 0 {
		a.Notes.Add(load.NoteHeart, "heart rates outside %d to %d, which nobody has, were left out: %d", slowestHeart, fastestHeart, dropped)
	}
}

// What a value of a sample or a sum can be at most. They catch broken numbers,
// not unlikely runs, which are for package load to judge. The fastest runner
// reaches 12.4 m/s (value from memory); land lies between -430 m (the Dead Sea's
// shore) and 8849 m, and a barometer may be some hundred metres off; the rest
// are project defaults.
const (
	fastestOnFoot  load.Speed   = 12.5
	fastestAtAll   load.Speed   = 100
	lowestLand     load.Metres  = -1000
	highestLand    load.Metres  = 10_000
	highestCadence load.Cadence = 300
	steepestBelt   load.Grade   = 0.45
	farthest       load.Metres  = 5_000_000
	mostAscent     load.Metres  = 100_000
	mostSteps                   = 5_000_000
	mostExertion                = 10
)

// sieveValues drops the other values of samples that make no sense.
func sieveValues(a *load.Activity) {
	fastest := fastestAtAll
	if a.Sport == load.Running || a.Sport == load.Walking {
		fastest = fastestOnFoot
	}
	var distances, altitudes, speeds, cadences, grades int
	for i := range a.Samples {
		s := &a.Samples[i]
		distances += sieveValue(s, load.HasDistance, &s.Distance, 0, farthest)
		altitudes += sieveValue(s, load.HasAltitude, &s.Altitude, lowestLand, highestLand)
		speeds += sieveValue(s, load.HasSpeed, &s.Speed, 0, fastest)
		cadences += sieveValue(s, load.HasCadence, &s.Cadence, 0, highestCadence)
		grades += sieveValue(s, load.HasGrade, &s.Grade, -steepestBelt, steepestBelt)
	}
	if distances+altitudes+speeds+cadences+grades > 0 {
		a.Notes.Add(load.NoteValue, "values that make no sense were left out: %s", listed(
			count{distances, "distance"}, count{altitudes, "altitude"}, count{speeds, "speed"}, count{cadences, "cadence"}, count{grades, "grade"}))
	}
}

// count is how many there are of a thing.
type count struct {
	n    int
	noun string
}

// String writes the plural of a noun of one word.
func (c count) String() string {
	if c.n == 1 || strings.Contains(c.noun, " ") {
		return fmt.Sprintf("%d %s", c.n, c.noun)
	}
	return fmt.Sprintf("%d %ss", c.n, c.noun)
}

// listed writes the counts that are not nought.
func listed(counts ...count) string {
	var words []string
	for _, c := range counts {
		if c.n > 0 {
			words = append(words, c.String())
		}
	}
	return strings.Join(words, ", ")
}

// sieveValue drops one value that is not within low and high, as NaN is not,
// and returns how many it dropped.
func sieveValue[T ~float32 | ~float64](s *load.Sample, field load.Fields, v *T, low, high T) int {
	if !s.Got(field) || *v >= low && *v <= high {
		return 0
	}
	s.Has &^= field
	*v = 0
	return 1
}

// sieveTotals drops sums that make no sense. What is dropped reads as "not
// given".
func sieveTotals(a *load.Activity, lim Limits) {
	t := &a.Totals
	var bad []string
	bad = append(bad, sieveSum("distance", &t.Distance, farthest)...)
	bad = append(bad, sieveSum("ascent", &t.Ascent, mostAscent)...)
	bad = append(bad, sieveSum("descent", &t.Descent, mostAscent)...)
	bad = append(bad, sieveSum("elapsed time", &t.Elapsed, lim.Longest)...)
	bad = append(bad, sieveSum("timer time", &t.Timer, lim.Longest)...)
	bad = append(bad, sieveSum("steps", &t.Steps, mostSteps)...)
	if a.HasExertion {
		bad = append(bad, sieveSum("exertion", &a.Exertion, mostExertion)...)
		a.HasExertion = len(bad) == 0 || !strings.HasPrefix(bad[len(bad)-1], "exertion")
	}
	if len(bad) > 0 {
		a.Notes.Add(load.NoteValue, "sums that make no sense were left out: %s", strings.Join(bad, ", "))
	}
}

func sieveSum[T ~float64 | ~int | ~int64](name string, v *T, most T) (bad []string) {
	if *v >= 0 && *v <= most {
		return nil
	}
	bad = []string{fmt.Sprintf("%s %v", name, *v)}
	*v = 0
	return bad
}

// The offsets from UTC that a zone can have (reference: IANA time zone database,
// -12 to +14 h today): up to 15 h in steps of a quarter of an hour.
const (
	farthestOffset = 15 * time.Hour
	offsetStep     = 15 * time.Minute
)

// sieveOffset drops a local time that is no zone's, as broken clocks write.
func sieveOffset(a *load.Activity) {
	if !a.HasOffset {
		return
	}
	if a.Offset.Abs() > farthestOffset || a.Offset%offsetStep != 0 {
		a.Notes.Add(load.NoteOffset, "the local time in the file, %s from UTC, is no zone's: it was not used", load.Lasting(a.Offset.Abs()))
		a.Offset, a.HasOffset = 0, false
	}
}
