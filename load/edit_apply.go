package load

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// Reduce is the function Reduce with what the runner says: what changes how the
// recording is measured stands for the activity's own before anything is, so that
// a kind that was said is not judged by speed; the rest is laid over what was
// measured, and what was measured is told in a note. The activity is not changed.
func (e Edit) Reduce(id string, a *Activity, zone Zone) Session {
	s := Reduce(id, e.over(a), zone)
	e.choose(&s)
	if e.Distance != nil {
		s.correctDistance(*e.Distance)
	}
	if e.RunTime != nil {
		s.correctRunTime(*e.RunTime)
	}
	if e.Day != nil {
		s.correctDay(*e.Day)
	}
	return s
}

// over returns the activity as it is to be measured.
func (e Edit) over(a *Activity) *Activity {
	edited := *a
	if e.Exertion != nil {
		edited.Exertion, edited.HasExertion = *e.Exertion, true
	}
	if e.Parts != nil {
		edited.Parts = *e.Parts
	}
	if e.Kind != nil && *e.Kind != a.Sport {
		edited.become(*e.Kind)
	}
	if e.Surface != nil {
		edited.Surface = *e.Surface
		if edited.Surface != Treadmill {
			edited.Notes = without(edited.Notes, NoteTreadmill)
		}
	}
	if e.Incline != nil && edited.Surface == Treadmill {
		edited.Samples = slices.Clone(a.Samples)
		for i := range edited.Samples {
			edited.Samples[i].Grade = *e.Incline
			edited.Samples[i].Has |= HasGrade
		}
	}
	return &edited
}

// become makes the activity one of another kind. A typed row has run all of a run
// and nothing of the rest, unless it says which part.
func (a *Activity) become(kind Sport) {
	a.Sport = kind
	if a.Typed == nil {
		return
	}
	row, whole := *a.Typed, cmp.Or(a.Totals.Timer, a.Totals.Elapsed)
	switch {
	case kind == Running && row.RunTime == 0:
		row.RunTime = whole
	case kind != Running && row.RunTime == whole:
		row.RunTime = 0
	}
	a.Typed = &row
}

// choose sets what no measuring depends on.
func (e Edit) choose(s *Session) {
	if e.Race != nil {
		s.Race = *e.Race
	}
	if e.Shoe != nil {
		s.Shoe = *e.Shoe
	}
	if e.Note != nil {
		s.Note = *e.Note
	}
	s.Double, s.Excluded = e.Double, e.Excluded
}

// correctDistance takes a distance given by hand, and what hangs on it in
// proportion. A treadmill's is confirmed by it.
func (s *Session) correctDistance(given Metres) {
	was := s.Distance
	s.Notes = without(s.Notes, NoteTreadmill)
	text := fmt.Sprintf("%.2f km, given by hand, counts as the distance", float64(given)/1000)
	if s.DistanceSource != "" {
		text += fmt.Sprintf("; measured were %.2f km", float64(was)/1000)
	}
	s.Notes.Add(NoteCorrected, "%s", text)
	speed := s.runSpeed()
	s.Distance, s.DistanceSource = given, DistanceTyped
	whole := Amount(math.Round(float64(given) * 1000))
	s.Measures.Set(Distance, whole)
	if !onFoot(s.Sport) {
		return
	}
	scaled := func(m Measure, otherwise float64) {
		share := otherwise
		if old, ok := s.Measures.Get(m); ok && was > 0 {
			share = float64(old) / (float64(was) * 1000)
		}
		s.Measures.Set(m, Amount(math.Round(float64(whole)*share)))
	}
	scaled(RunDistance, s.totalsRunShare())
	scaled(Flat, 1)
	if was > 0 {
		s.FlatACSM *= given / was
	}
	if speed > 0 {
		s.scaleTendon(speed, s.runSpeed(), 1)
	} else {
		s.estimateTendon()
	}
}

// without returns notes but for those of a code.
func without(notes Notes, code NoteCode) Notes {
	return slices.DeleteFunc(slices.Clone(notes), func(n Note) bool { return n.Code == code })
}

// correctRunTime takes the minutes that were run from the runner, and the run part
// of the distance in proportion to them.
func (s *Session) correctRunTime(given time.Duration) {
	if !onFoot(s.Sport) || s.Moving == 0 {
		return
	}
	was, speed := s.RunTime, s.runSpeed()
	s.RunTime = min(given, s.Moving)
	s.WalkTime = s.Moving - s.RunTime
	s.Notes.Add(NoteCorrected, "%s of running, given by hand, count; %s were measured", Lasting(s.RunTime), Lasting(was))
	s.Measures.Set(RunTime, Amount(s.RunTime/time.Millisecond))
	whole, ok := s.Measures.Get(Distance)
	if !ok {
		return
	}
	run := float64(whole) * s.RunTime.Seconds() / s.Moving.Seconds()
	if old, ok := s.Measures.Get(RunDistance); ok && was > 0 && s.RunTime < s.Moving {
		run = float64(old) * s.RunTime.Seconds() / was.Seconds()
	}
	s.Measures.Set(RunDistance, min(whole, Amount(math.Round(run))))
	if now := s.runSpeed(); speed > 0 && now > 0 {
		s.scaleTendon(speed, now, s.RunTime.Seconds()/was.Seconds())
	}
}

// correctDay moves the session to another date at the same time of day. NoteDay
// says that its date is the runner's.
func (s *Session) correctDay(given Day) {
	s.Notes.Add(NoteDay, "%v, given by hand, is its date; the file says %v", given, s.Day)
	by := Instant(given-s.Day) * (24 * 3600 * 1000)
	s.Start, s.End, s.Day = s.Start+by, s.End+by, given
}
