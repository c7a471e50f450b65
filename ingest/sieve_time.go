package ingest

import (
	"cmp"
	"fmt"
	"math/bits"
	"slices"
	"time"

	"tidemark/load"
)

// sieveTimes puts the samples in strict order of time within the window and
// refuses what is no recording for its times. Without any usable sample the
// start has to lie in the window.
func sieveTimes(a *load.Activity, opt Options) error {
	window := opt.window()
	early, late := dropOutside(a, window)
	if len(a.Samples) == 0 {
		return checkStart(a, window, early, late)
	}
	if early+late > 0 {
		a.Notes.Add(load.NoteTime, "samples whose time cannot be were left out: %s",
			listed(count{early, "from before " + day(window.From)}, count{late, "from the future"}))
	}
	sortByTime(a)
	joinDoubled(a)
	return dropStrays(a, opt.Limits.Longest)
}

// dropOutside drops the samples out of the window and counts them.
func dropOutside(a *load.Activity, window load.Span) (early, late int) {
	a.Samples = slices.DeleteFunc(a.Samples, func(s load.Sample) bool {
		if s.At < window.From {
			early++
		}
		if s.At > window.To {
			late++
		}
		return s.At < window.From || s.At > window.To
	})
	return early, late
}

// checkStart judges an activity that has no usable sample, of which early and
// late were dropped.
func checkStart(a *load.Activity, window load.Span, early, late int) error {
	switch {
	case a.Start > window.To, late > 0 && early == 0 && a.Start == 0:
		if a.Start == 0 {
			return ErrFuture
		}
		return fmt.Errorf("%w (%s): set the watch's clock, and write this run into a diary", ErrFuture, day(a.Start))
	case a.Start < window.From:
		return ErrNoTime
	}
	if early+late > 0 {
		a.Notes.Add(load.NoteTime, "samples without a usable time were left out: %d", early+late)
	}
	return nil
}

func sortByTime(a *load.Activity) {
	back := 0
	for i := 1; i < len(a.Samples); i++ {
		if a.Samples[i].At < a.Samples[i-1].At {
			back++
		}
	}
	if back == 0 {
		return
	}
	slices.SortStableFunc(a.Samples, func(x, y load.Sample) int { return cmp.Compare(x.At, y.At) })
	a.Notes.Add(load.NoteTime, "the times in the file run backwards in %s: the samples were sorted", count{back, "place"})
}

// joinDoubled makes one sample of those at one time: the one with most values,
// the first of equals, with what only the others have. Some devices write the
// position and the heart rate of a second apart.
func joinDoubled(a *load.Activity) {
	n := len(a.Samples)
	joined := a.Samples[:0]
	for _, s := range a.Samples {
		last := len(joined) - 1
		if last < 0 || joined[last].At != s.At {
			joined = append(joined, s)
			continue
		}
		rich, poor := joined[last], s
		if bits.OnesCount8(uint8(poor.Has)) > bits.OnesCount8(uint8(rich.Has)) {
			rich, poor = poor, rich
		}
		joined[last] = fill(rich, poor)
	}
	a.Samples = joined
	if len(joined) < n {
		a.Notes.Add(load.NoteTime, "samples at a time that was there already were joined with the first: %d", n-len(joined))
	}
}

// fill returns s with the values of other that s lacks.
func fill(s, other load.Sample) load.Sample {
	lacks := other.Has &^ s.Has
	if lacks&load.HasPosition != 0 {
		s.Position = other.Position
	}
	if lacks&load.HasDistance != 0 {
		s.Distance = other.Distance
	}
	if lacks&load.HasAltitude != 0 {
		s.Altitude = other.Altitude
	}
	if lacks&load.HasSpeed != 0 {
		s.Speed = other.Speed
	}
	if lacks&load.HasCadence != 0 {
		s.Cadence = other.Cadence
	}
	if lacks&load.HasHeart != 0 {
		s.Heart = other.Heart
	}
	if lacks&load.HasGrade != 0 {
		s.Grade = other.Grade
	}
	s.Has |= lacks
	return s
}

// straysAtMost is the share of samples that may lie far from all others, as a
// receiver writes before it knows the date, without spoiling the rest. Project
// default.
const straysAtMost = 0.1

// dropStrays refuses what is longer than longest, unless a few stray samples
// make it so.
func dropStrays(a *load.Activity, longest time.Duration) error {
	whole := span(a.Samples)
	if whole <= longest {
		return nil
	}
	run := largestRun(a.Samples, longest)
	strays := len(a.Samples) - len(run)
	if span(run) > longest || float64(strays) > straysAtMost*float64(len(a.Samples)) {
		return fmt.Errorf("%w: spans %d days", ErrTooLong, whole/(24*time.Hour))
	}
	a.Notes.Add(load.NoteTime, "samples more than %d days from all others were left out: %d", longest/(24*time.Hour), strays)
	a.Samples = run
	return nil
}

// largestRun returns the most samples in a row without a gap longer than gap.
func largestRun(samples []load.Sample, gap time.Duration) []load.Sample {
	var best []load.Sample
	from := 0
	for i := range samples {
		if i > 0 && samples[i].At.Sub(samples[i-1].At) > gap {
			from = i
		}
		if i+1-from > len(best) {
			best = samples[from : i+1]
		}
	}
	return best
}

func span(samples []load.Sample) time.Duration {
	if len(samples) == 0 {
		return 0
	}
	return samples[len(samples)-1].At.Sub(samples[0].At)
}

func day(i load.Instant) string   { return i.Time().Format(time.DateOnly) }
func clock(i load.Instant) string { return i.Time().Format(time.RFC3339) }
