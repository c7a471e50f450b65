package journal

import (
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// The kinds of what waits besides those that an assessment finds.
const (
	WaitQuiet assess.WaitKind = "quiet" // nothing was added for QuietDays
	WaitVisit assess.WaitKind = "visit" // one is due
)

// QuietDays is after how many days without a recording, or since it was last asked about,
// somebody asks; project default.
const QuietDays = 7

// Waiting is something of a runner that waits for a clinician.
type Waiting struct {
	assess.Wait
	Case *assess.Case // nil: of the runner
}

// spoken says what waits, and of what.
func (w *Waiting) spoken() string {
	switch {
	case w.Case == nil:
		return w.Text
	case w.Kind == assess.WaitStage:
		return "waits for an answer: " + w.Text
	case w.Kind == assess.WaitPhase:
		return w.Case.Name() + " waits for an answer: " + w.Text
	}
	return w.Case.Name() + ": " + w.Text
}

// Waiting returns what waits of a runner of whom something is followed. Where all of it was
// handed over it waits for the runner, but a flare and a review are looked at; as long as
// something was not, nobody but a clinician is in charge of the rest either.
func (r *Row) Waiting() (out []Waiting) {
	cases := r.Standing.Cases
	led := r.Led()
	staged := false // the way back is one for all that is followed
	for i := range cases {
		for _, w := range cases[i].Waits {
			confirms := w.Kind == assess.WaitStage || w.Kind == assess.WaitPhase
			if r.answered(w) || confirms && !led || staged && w.Kind == assess.WaitStage {
				continue
			}
			staged = staged || w.Kind == assess.WaitStage
			out = append(out, Waiting{w, &cases[i]})
		}
	}
	if len(cases) == 0 {
		return nil
	}
	if w, is := r.quiet(); is {
		out = append(out, Waiting{w, nil})
	}
	if v := r.Visit; v != nil && v.HasNext && v.Next <= r.Today {
		out = append(out, Waiting{assess.Wait{Kind: WaitVisit, Since: v.Next, Text: "a visit is due"}, nil})
	}
	return out
}

// Led reports whether something is followed that was not handed over: as long as it is, a
// clinician who was let in is in charge of all that is.
func (r *Row) Led() bool {
	return slices.ContainsFunc(r.Standing.Cases, func(c assess.Case) bool { return c.Status == rehab.Open })
}

// answered reports whether a visit has answered a review, which is looked at there. A flare is
// no more in the row once it was looked at, a stage and a phase wait to be confirmed.
func (r *Row) answered(w assess.Wait) bool {
	return r.Visit != nil && r.Visit.Text != "" && r.Visit.Day >= w.Since && w.Kind == assess.WaitReview
}

// quiet is that nothing was added for a week, and that nobody wrote about it for as long.
func (r *Row) quiet() (w assess.Wait, is bool) {
	last := r.Standing.LastRecord
	asked := last
	if r.Word != nil {
		asked = max(asked, r.Word.Day)
	}
	if !r.Standing.HasRecord || r.Today-asked < QuietDays {
		return w, false
	}
	text := fmt.Sprintf("no run was added for %d days", r.Today-last)
	if asked > last {
		text += ", last written to on " + asked.Noon().Format("2 Jan")
	}
	return assess.Wait{Kind: WaitQuiet, Since: asked + load.Day(QuietDays), Text: text}, true
}
