package load

import "time"

// longStop is the stop in ms from which on it is no part of the effort that a
// session RPE judges; project default.
const longStop = 300_000

// maxExertion is the top of the scale of session RPE (Foster et al. 2001).
const maxExertion = 10

// EffortPart is a part of a session that the runner judges by itself: how hard it was,
// on 0 to 10, and its minutes.
type EffortPart struct{ RPE, Minutes float64 }

// mostParts is how many parts a session is judged in at most; project default.
const mostParts = 20

// setExertion records session RPE times minutes (Foster et al. 2001, J Strength
// Cond Res 15:109) in thousandths of an arbitrary unit. The minutes are the
// elapsed ones without stops of more than 5 min. Judged in parts it is their sum: some
// 10 to 20 % of athletes insist on that.
func (s *Session) setExertion(a *Activity, effort time.Duration) {
	if len(a.Parts) > 0 {
		sum := 0.0
		for _, part := range a.Parts {
			sum += float64(part.RPE * part.Minutes)
		}
		s.Measures.Set(Exertion, Exertion.Of(sum))
		return
	}
	if !a.HasExertion || effort <= 0 {
		return
	}
	rpe := min(maxExertion, max(0, a.Exertion))
	s.Measures.Set(Exertion, Exertion.Of(rpe*effort.Minutes()))
}

// effort returns the elapsed time less the long ones of the stops.
func (s *Session) effort(stops []Span) time.Duration {
	left := s.Elapsed
	whole := Span{s.Start, s.End}
	for _, stop := range stops {
		if shared := overlap(stop, whole); shared > longStop {
			left -= shared.duration()
		}
	}
	return left
}
