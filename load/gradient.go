package load

import "math"

// Gradients; project defaults within the load reference's bounds.
const (
	gradientLength = 50     // metres of way that a gradient is taken over, at least
	gradientGap    = 60_000 // ms without an altitude after which the way counts as level
	steepest       = 0.45   // the cost of running was measured up to here (Minetti et al. 2002)
)

// slope is a part of the way with one gradient.
type slope struct {
	length  Metres // as it was measured: level outdoors, along the belt on a treadmill
	grade   Grade
	clipped bool // it was steeper
}

func (s *slope) clip() {
	g := min(steepest, max(-steepest, s.grade))
	s.clipped, s.grade = g != s.grade, g
}

// slopes parts the way in pieces of 50 m or more and calls f with each. The
// gradient of a piece is that of the smoothed altitudes at its ends; where nobody
// knows them it is level.
func (v *survey) slopes(samples []Sample, h *heights, f func(slope)) {
	counted := v.counted()
	from, seen := -1, 0 // the sample with an altitude at which the piece begins, and the last
	var piece, level Metres
	for k := range v.parts {
		if samples[k].Has&HasAltitude != 0 {
			seen = k
			if from < 0 {
				from = k
			}
		}
		d := v.parts[k].covered(counted)
		end := k + 1
		switch {
		case from < 0:
			level += d
			continue
		case v.parts[k].length(counted) < 0 || samples[end].At-samples[seen].At > gradientGap:
			level += piece + d
			piece, from = 0, -1
			continue
		}
		piece += d
		if piece < gradientLength || samples[end].Has&HasAltitude == 0 {
			continue
		}
		s := slope{length: piece, grade: Grade((h.of[end] - h.of[from]) / piece)}
		s.clip()
		f(s)
		piece, from = 0, end
	}
	if level += piece; level > 0 {
		f(slope{length: level})
	}
}

// beltSlopes calls f with the pieces of a treadmill's way, by the grade that the
// device gives of its belt.
func (v *survey) beltSlopes(samples []Sample, f func(slope)) {
	counted := v.counted()
	for k := range v.parts {
		s := slope{length: v.parts[k].covered(counted)}
		if samples[k+1].Has&HasGrade != 0 {
			s.grade = samples[k+1].Grade
			s.clip()
		}
		f(s)
	}
}

// along returns how much longer a way is than its level length.
func (g Grade) along() float64 { return math.Sqrt(1 + float64(g*g)) }
