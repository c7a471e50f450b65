package load

import "math"

// Gradients; project defaults within the load reference's bounds.
const (
	gradientLength = 50     // metres of way that a gradient is taken over, at least
	gradientGap    = 60_000 // ms without an altitude after which the way counts as level
	steepest       = 0.45   // the cost of running was measured up to here (Minetti et al. 2002)
)

// slope is a part of the way with one gradient: the stretches from the first up to
// the one before the last.
type slope struct {
	from, to int
	length   Metres // as it was measured: level outdoors, along the belt on a treadmill
	grade    Grade
	clipped  bool // it was steeper
}

func (s *slope) clip() {
	g := min(steepest, max(-steepest, s.grade))
	s.clipped, s.grade = g != s.grade, g
}

// slopes parts the way in pieces of 50 m or more and calls f with each, in order. The
// gradient of a piece is that of the smoothed altitudes at its ends; where nobody
// knows them it is level.
func (v *survey) slopes(samples []Sample, h *heights, f func(slope)) {
	counted := v.counted()
	piece := slope{}
	anchor, seen := -1, 0 // the sample whose altitude the piece begins with, none if it is level, and the last with one
	for k := range v.parts {
		if h.known > 1 && samples[k].Has&HasAltitude != 0 {
			seen = k
			if anchor < 0 {
				if piece.to > piece.from {
					f(piece)
				}
				piece, anchor = slope{from: k, to: k}, k
			}
		}
		piece.length += v.parts[k].covered(counted)
		piece.to = k + 1
		if v.parts[k].length(counted) < 0 || samples[k+1].At-samples[seen].At > gradientGap {
			anchor = -1
		}
		if piece.length < gradientLength || anchor >= 0 && samples[k+1].Has&HasAltitude == 0 {
			continue
		}
		if anchor >= 0 {
			piece.grade = Grade((h.of[k+1] - h.of[anchor]) / piece.length)
			piece.clip()
			anchor = k + 1
		}
		f(piece)
		piece = slope{from: k + 1, to: k + 1}
	}
	if piece.to > piece.from {
		f(piece)
	}
}

// beltSlopes calls f with the pieces of a treadmill's way, by the grade that the
// device gives of its belt.
func (v *survey) beltSlopes(samples []Sample, f func(slope)) {
	counted := v.counted()
	for k := range v.parts {
		s := slope{from: k, to: k + 1, length: v.parts[k].covered(counted)}
		if samples[k+1].Has&HasGrade != 0 {
			s.grade = samples[k+1].Grade
			s.clip()
		}
		f(s)
	}
}

// along returns how much longer a way is than its level length.
func (g Grade) along() float64 { return math.Sqrt(1 + float64(g*g)) }
