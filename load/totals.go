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
