package chart

import (
	"tidemark/load"
	"tidemark/load/rehab"
)

// Mark is a morning under its waking date.
type Mark struct {
	Day     load.Day
	At      float64 // the middle of its column
	Height  float64 // of the score, 0 to 1; of a morning without one, 0
	Verdict load.Verdict
}

// Marks lays the mornings of a complaint out in the columns of the picture, in order of
// day. Those outside of its span are left out.
func (t Tideline) Marks(r *rehab.Record) (marks []Mark) {
	for i := range r.Mornings {
		m := &r.Mornings[i]
		if !t.holds(m.Day) || m.Judgement.Verdict == load.NoVerdict {
			continue
		}
		mark := Mark{Day: m.Day, At: t.Middle(m.Day), Verdict: m.Judgement.Verdict}
		if m.Next != nil {
			mark.Height = float64(*m.Next) / rehab.MaxScore
		}
		marks = append(marks, mark)
	}
	return marks
}
