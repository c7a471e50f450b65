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

// Worked is what was done of a programme on a day: At is the middle of its column, Share 0
// to 1 of what was due.
type Worked struct {
	Day   load.Day
	At    float64
	Share float64
}

// Whole reports whether all was done that was due, which adds up of parts.
func (w *Worked) Whole() bool { return w.Share >= 1-1e-9 }

// Worked lays out what was done of the programmes of a complaint in the columns of the
// picture, in order of day. Days on which nothing was due are left out.
func (t Tideline) Worked(courses []rehab.Course, log []rehab.Done) (all []Worked) {
	for day := t.First; day < t.First+load.Day(t.Days); day++ {
		if share, ok := rehab.ShareOn(courses, log, day); ok {
			all = append(all, Worked{day, t.Middle(day), share})
		}
	}
	return all
}
