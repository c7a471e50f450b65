package load

import "cmp"

// fromTotals reduces an activity that is known by its sums alone.
func (s *Session) fromTotals(a *Activity) {
	s.Moving = cmp.Or(a.Totals.Timer, a.Totals.Elapsed)
	s.Distance = a.Totals.Distance
	switch {
	case s.Typed:
		s.RunTime = min(a.Typed.RunTime, s.Moving)
	case s.Sport == Running:
		s.RunTime = s.Moving
	}
	if onFoot(s.Sport) {
		s.WalkTime = s.Moving - s.RunTime
	}
	s.Steps = a.Totals.Steps
	s.setTotalsSources(a)
	s.setMeasures(s.Moving > 0)
	s.setRunMeasures(s.totalsRunShare())
	if distance, ok := s.Measures.Get(Distance); ok && onFoot(s.Sport) {
		s.Measures.Set(Flat, distance)
	}
	s.estimateTendon()
	s.setExertion(a, s.Moving)
}

// setTotalsSources says whether the sums are a person's or a watch's.
func (s *Session) setTotalsSources(a *Activity) {
	distance, steps := DistanceTyped, StepsTyped
	if !s.Typed {
		if !s.Notes.Has(NoteTotals) {
			s.Notes.Add(NoteTotals, "%d samples; the file's own sums were taken", len(a.Samples))
		}
		distance, steps = DistanceFromSession, StepsFromCadence
		s.DeviceDistance = s.Distance
	}
	if s.Distance > 0 {
		s.DistanceSource = distance
	}
	if s.Steps > 0 {
		s.StepsSource = steps
		return
	}
	s.estimateSteps()
}

// totalsRunShare takes the run part of a distance from that of the time. Running is
// faster than walking, so it is rather too little.
func (s *Session) totalsRunShare() float64 {
	switch {
	case s.Moving == 0 && s.Sport == Running:
		return 1
	case s.Moving == 0:
		return 0
	}
	if s.RunTime > 0 && s.WalkTime > 0 && s.Distance > 0 {
		s.Notes.Add(NoteGait, "which part of the distance was run is taken from the minutes: %s of %s", Lasting(s.RunTime), Lasting(s.Moving))
	}
	return s.RunTime.Seconds() / s.Moving.Seconds()
}
