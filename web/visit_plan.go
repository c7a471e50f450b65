package web

import (
	"fmt"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/export"
	"tidemark/web/words"
)

// visitPlan is what comes: of each programme, of the way back, and what waits.
func visitPlan(care *assess.Care, cases []assess.Case, today load.Day) (plan export.VisitPlan) {
	for _, r := range care.Open(today) {
		name := complaintName(&r.Complaint)
		if course, ok := care.Plan.CourseOn(r, care.Grown, today); ok {
			plan.Lines = append(plan.Lines, export.Figure{Name: name + ", programme", Text: programmeAhead(&course)})
		}
		if order := care.Plan.OrderOn(r.Complaint.ID, today); order.Phase > 0 || order.Stage > 0 {
			plan.Lines = append(plan.Lines, export.Figure{Name: name + ", standing order", Text: orderWords(&order)})
		} else {
			plan.Lines = append(plan.Lines, export.Figure{Name: name + ", standing order", Text: "none: each step up waits for whoever is in charge"})
		}
	}
	if len(cases) == 0 {
		return plan
	}
	plan.Lines = append(plan.Lines, export.Figure{Name: "way back to running", Text: rampAhead(care, today)})
	plan.Runs = plannedRuns(care.Ramp, today, rampShown)
	for i := range cases {
		for _, w := range cases[i].Waits {
			text := w.Text + ", since " + words.Day(w.Since)
			if !slices.Contains(plan.Waits, text) {
				plan.Waits = append(plan.Waits, text)
			}
		}
	}
	return plan
}

// programmeAhead says in which phase a programme is, what it should do next, and what comes.
func programmeAhead(c *rehab.Course) string {
	view := courseViewOf(c, "")
	if view.Paused {
		return view.Name + ", paused; nothing of it is due."
	}
	parts := []string{view.Name + "."}
	if view.Phase != "" {
		parts = append(parts, view.Phase+".")
	}
	advice := view.Advice
	if view.Why != "" {
		advice = strings.TrimSuffix(advice, ".") + ": " + lowered(view.Why) + "."
	}
	parts = append(parts, advice)
	if view.Next > 0 {
		next := &c.Programme.Phases[view.Next-1]
		text := fmt.Sprintf("Next: phase %d", view.Next)
		switch {
		case next.From > 0 && next.To > 0:
			text += fmt.Sprintf(", weeks %d to %d", next.From, next.To)
		case next.From > 0:
			text += fmt.Sprintf(", from week %d on", next.From)
		}
		if next.Enter != "" {
			text += ", at this status: " + next.Enter
		}
		var exercises []string
		for i := range next.Doses {
			exercises = append(exercises, lowered(doseLineOf(&next.Doses[i]).Name))
		}
		parts = append(parts, text+". In it: "+strings.Join(exercises, "; ")+".")
	}
	return strings.TrimSpace(strings.Join(parts, " "))
}

// rampAhead says where the way back stands and how far the next stage is.
func rampAhead(care *assess.Care, today load.Day) string {
	r := care.Ramp
	switch {
	case r == nil && care.Stopping(today) != nil:
		f := care.Stopping(today)
		return stoppedWords + " " + words.Sentenced(f.Flag.Sign+": "+f.Flag.Do)
	case r == nil:
		return noRampWords(care, today)
	case r.Refused != nil:
		return "There is no plan to show. " + words.Sentenced(r.Refused.Error())
	}
	answer, _ := rampAnswer(r, today)
	parts := []string{answer}
	if next, ok := r.Next(today); ok && next.Stage > 0 {
		parts = append(parts, fmt.Sprintf("Stage %d of %d: %s.", next.Stage, len(r.Plan.Ladder), words.Turned(next)))
	} else if ok {
		parts = append(parts, "After the ladder: "+words.Turned(next)+".")
	}
	if text := stepsToNext(r, today); text != "" {
		parts = append(parts, "The next step: "+text)
	}
	return strings.Join(parts, " ")
}

// plannedRuns are the runs of the way back in so many days from today on that were not done.
func plannedRuns(r *assess.Ramp, today load.Day, days int) (runs []export.PlannedRun) {
	for day := today; day < today+load.Day(days); day++ {
		if d, ok := r.On(day); ok && d.Kind == ramp.Run && !r.Plan.Inputs.DoneOn(day) {
			run := export.PlannedRun{Day: day, What: words.Planned(d)}
			if d.Stage > 0 {
				run.What += fmt.Sprintf(" (stage %d)", d.Stage)
			}
			runs = append(runs, run)
		}
	}
	return runs
}
