package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// rehabPage is what is done for what hurts: today's list, how it goes on, and how much was
// done of what was set.
type rehabPage struct {
	page
	Today      load.Day
	Answer     string
	Signs      []string // that stand, and what they ask for
	Complaints []rehabPart
	Log        []logRow
	Away       awayForm
	Said       []settingChange
	Seen       int // changes of programmes, when the page was made
}

// rehabPart is the programme of one complaint.
type rehabPart struct {
	ID, Name string
	List     *todayList // nil: nothing is prescribed, or it is paused
	Course   *courseView
	Weeks    doneTable
	Form     prescribeForm
	Order    orderForm
	Entry    entryForm
}

// courseView is how a programme goes on.
type courseView struct {
	Action, Name, Phase, PainRule, Result, Source string
	Status                                        string // how its source was seen
	Since                                         load.Day
	Paused                                        bool
	Advice, Why                                   string
	Next                                          int // phase that it could go on to; 0: none
	Previous                                      int
	Steps                                         []string
	Doses                                         []doseLine
}

// doseLine is one exercise of a phase.
type doseLine struct {
	Name, Muscle, Amount, Often, Usual, Source string
}

// doneTable is what was done of what was set, by week and exercise.
type doneTable struct {
	Weeks []load.Day // the last day of each, the latest first
	Rows  []doneRow
}

// doneRow is one exercise, and last the mean of all.
type doneRow struct {
	Name   string
	Shares []string // one a week
}

// logRow is one entry of the log.
type logRow struct {
	Day                  load.Day
	Name, Amount, Pain   string
	Complaint, Note, Who string
}

func (s *Server) rehab(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.rehabPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "rehab", out)
}

func (v *visit) rehabPage(ctx context.Context) (out rehabPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	plan, err := v.book.Plan(ctx)
	if err != nil {
		return out, err
	}
	out = rehabPage{page: v.page("Rehab", "rehab"), Today: v.today, Away: awayForm{Action: v.link.Base() + "/rehab/away", From: v.today.String(), To: v.today.String()}}
	names := make(map[string]string)
	for i := range care.Records {
		names[care.Records[i].Complaint.ID] = complaintName(&care.Records[i].Complaint)
	}
	for _, r := range care.Open(v.today) {
		out.Complaints = append(out.Complaints, v.rehabPart(care, r))
	}
	out.Seen = len(plan.Prescriptions)
	if out.Answer, out.Signs = rehabAnswer(out.Complaints), v.signWords(care); care.Stopping(v.today) != nil {
		out.Answer = noExercise
	}
	out.Log = v.logRows(&plan, names)
	out.Said = v.planSaid(&plan, care, names)
	return out, nil
}

// noExercise answers while a sign stops plans (model 7).
const noExercise = "No exercises until the sign is lifted."

// rehabAnswer says in a sentence what there is to do today.
func rehabAnswer(parts []rehabPart) string {
	exercises, set := 0, false
	for _, p := range parts {
		if p.List == nil {
			continue
		}
		set = true
		for _, d := range p.List.Doses {
			if d.Left > 0 {
				exercises++
			}
		}
	}
	switch {
	case len(parts) == 0:
		return "Nothing is followed, so there is no programme."
	case !set:
		return "No programme is set."
	case exercises == 0:
		return "Nothing is left to do today."
	}
	return words.Plural(exercises, "exercise") + " to do today."
}

func (v *visit) rehabPart(care *assess.Care, r *rehab.Record) (p rehabPart) {
	id := r.Complaint.ID
	base := v.link.Base() + "/rehab/" + id
	p = rehabPart{ID: id, Name: complaintName(&r.Complaint), List: v.todayList(care, r, "rehab")}
	courses := care.Plan.Courses(r, care.Grown, v.today)
	course, ok := care.Plan.CourseOn(r, care.Grown, v.today)
	if ok {
		p.Course = courseViewOf(&course, base)
		p.Weeks = doneTableOf(courses, care.Plan.Of(id), v.today)
	}
	p.Form = v.prescribeForm(care, r, course.Prescription.Programme)
	p.Order = orderFormOf(care, id, base+"/order", v.today)
	p.Entry = v.entryForm(base + "/log")
	return p
}

// moveWords say what a programme should do next.
var moveWords = map[string]string{
	string(rehab.On) + rehab.OfProgramme: "It may go on.", string(rehab.Hold) + rehab.OfProgramme: "The same again.", string(rehab.Back) + rehab.OfProgramme: "It has stepped back.",
	string(rehab.Back) + rehab.OfRunning: "The running steps back, and the exercises stay.",
}

func courseViewOf(c *rehab.Course, base string) *courseView {
	p := &c.Programme
	view := courseView{
		Action: base + "/prescribe", Name: p.Name, PainRule: p.PainRule, Result: title(p.Result), Source: p.Source, Status: p.Status,
		Since: c.Prescription.Started, Paused: c.Prescription.State == rehab.Paused,
	}
	for _, s := range slices.Backward(c.Steps) {
		view.Steps = append(view.Steps, fmt.Sprintf("%s: to phase %d, because %s", words.Day(s.Day), s.Phase, s.Why))
	}
	phase, ok := c.PhaseOn(c.Last)
	if !ok {
		if !view.Paused {
			view.Advice = "It has come to its end, or has not begun."
		}
		return &view
	}
	n := c.Phase()
	if len(p.Phases) > 1 {
		view.Phase = fmt.Sprintf("Phase %d of %d", n, len(p.Phases))
		if phase.Name != strconv.Itoa(n) {
			view.Phase += " (" + phase.Name + ")"
		}
		if phase.Enter != "" {
			view.Phase += ", at this status: " + phase.Enter
		}
		view.Next, view.Previous = (n+1)%(len(p.Phases)+1), n-1
	}
	view.Advice, view.Why = moveWords[string(c.Advice.Move)+c.Advice.Of], title(c.Advice.Why)
	if c.Waiting >= rehab.AnswerDays {
		view.Why += fmt.Sprintf("; nobody has answered for %d days, so it is the same again", c.Waiting)
	}
	for _, d := range phase.Doses {
		view.Doses = append(view.Doses, doseLineOf(&d))
	}
	return &view
}

// muscleWords say what an exercise works.
var muscleWords = map[rehab.Muscle]string{rehab.Gastrocnemius: "calf, knee straight", rehab.Soleus: "deep calf, knee bent"}

func doseLineOf(d *rehab.Dose) doseLine {
	e, err := rehab.FindExercise(d.Exercise)
	if err != nil {
		return doseLine{Name: d.Exercise}
	}
	return doseLine{title(e.Name), muscleWords[e.Muscle], words.Dose(d), words.Often(d), e.Usual, e.Source}
}

// doneTableOf tells what was done of what was set in the last weeks.
func doneTableOf(courses []rehab.Course, log []rehab.Done, today load.Day) (t doneTable) {
	rows := make(map[string]*doneRow)
	mean := doneRow{Name: "in the mean"}
	for i := range load.Day(weeksShown) {
		end := today - 7*i
		shares, all, ok := rehab.WeekOf(courses, log, end)
		if !ok {
			break
		}
		t.Weeks = append(t.Weeks, end)
		for _, s := range shares {
			row := rows[s.Exercise]
			if row == nil {
				row = &doneRow{Name: doseLineOf(&rehab.Dose{Exercise: s.Exercise}).Name, Shares: make([]string, i)}
				rows[s.Exercise] = row
			}
			row.Shares = append(row.Shares, fmt.Sprintf("%.0f of %.0f", s.Done, s.Planned))
		}
		mean.Shares = append(mean.Shares, fmt.Sprintf("%.0f %%", 100*all))
		for _, row := range rows {
			for len(row.Shares) < len(t.Weeks) {
				row.Shares = append(row.Shares, "")
			}
		}
	}
	for _, row := range rows {
		t.Rows = append(t.Rows, *row)
	}
	slices.SortFunc(t.Rows, func(a, b doneRow) int { return strings.Compare(a.Name, b.Name) })
	if len(t.Weeks) > 0 {
		t.Rows = append(t.Rows, mean)
	}
	return t
}

// logShown is how many entries of the log are listed.
const logShown = 60

func (v *visit) logRows(plan *journal.Plan, names map[string]string) (rows []logRow) {
	done := slices.Clone(plan.Done)
	slices.SortStableFunc(done, func(a, b journal.Done) int { return int(a.Day) - int(b.Day) })
	for _, d := range slices.Backward(done) {
		if len(rows) == logShown {
			break
		}
		row := logRow{Day: d.Day, Name: doseLineOf(&rehab.Dose{Exercise: d.Exercise}).Name, Amount: words.Did(&d.Done), Complaint: names[d.Complaint], Note: d.Note, Who: v.who(d.By)}
		if d.Pain != nil {
			row.Pain = fmt.Sprintf("%d of 10", *d.Pain)
		}
		rows = append(rows, row)
	}
	return rows
}

// planSaid tells who prescribed, allowed and paused what, the last first.
func (v *visit) planSaid(plan *journal.Plan, care *assess.Care, names map[string]string) (said []settingChange) {
	library := rehab.Library{Own: care.Plan.Own}
	for _, p := range slices.Backward(plan.Prescriptions) {
		programme, err := library.Find(p.Programme)
		if err != nil {
			continue // of a newer version
		}
		what := fmt.Sprintf("%s: %s, %s from %s", names[p.Complaint], programme.Name, planStates[p.State], words.Day(p.From))
		if p.Phase > 0 && len(programme.Phases) > 1 {
			what += fmt.Sprintf(", phase %d", p.Phase)
		}
		if p.Why != "" {
			what += "; " + p.Why
		}
		said = append(said, settingChange{words.Day(load.DayOf(p.At.Time())), v.who(p.By), what})
	}
	for _, o := range slices.Backward(plan.Orders) {
		said = append(said, settingChange{words.Day(load.DayOf(o.At.Time())), v.who(o.By), names[o.Complaint] + ": " + orderWords(&o.Order)})
	}
	for _, a := range slices.Backward(plan.Aways) {
		what := "Nobody asks from " + words.Day(a.First) + " to " + words.Day(a.Last) + ": " + string(a.Reason)
		if a.Reason == "" {
			what = "Here again from " + words.Day(a.First) + " to " + words.Day(a.Last)
		}
		said = append(said, settingChange{words.Day(load.DayOf(a.At.Time())), v.who(a.By), what})
	}
	return said
}

var planStates = map[rehab.PlanState]string{rehab.Running: "done", rehab.Paused: "paused", rehab.Ended: "ended"}
