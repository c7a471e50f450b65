package web

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/export"
	"tidemark/web/words"
)

// takeHomePage is the sheet that a runner takes home, in plain words.
type takeHomePage struct {
	page
	export.TakeHome
	PDF string // address
}

func (s *Server) takeHome(w http.ResponseWriter, r *http.Request, v *visit) error {
	sheet, err := v.takeHomeModel(r.Context())
	if err != nil {
		return err
	}
	out := takeHomePage{page: v.page("This week", "take-home"), TakeHome: sheet, PDF: v.link.Base() + "/take-home.pdf"}
	return s.render(w, http.StatusOK, "take_home", out)
}

// takeHomePDF sends it as a file.
func (s *Server) takeHomePDF(w http.ResponseWriter, r *http.Request, v *visit) error {
	sheet, err := v.takeHomeModel(r.Context())
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := export.TakeHomePDF(&out, &sheet, s.Now()); err != nil {
		return err
	}
	return attach(w, typePDF, "this-week-"+v.today.String()+".pdf", &out)
}

// takenDays is how many days ahead a sheet tells of, today included.
const takenDays = 7

func (v *visit) takeHomeModel(ctx context.Context) (t export.TakeHome, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return t, err
	}
	notes, err := v.book.Notes(ctx)
	if err != nil {
		return t, err
	}
	var visits export.Visit
	v.visitNotes(&visits, notes)
	t = export.TakeHome{Name: v.runner.Name, Day: v.today, Next: visits.Next, Caution: words.FollowClinician}
	exercises := 0
	open := care.Open(v.today)
	for _, r := range open {
		part := takePart(care, r, v.today)
		exercises += len(part.Exercises)
		t.Parts = append(t.Parts, part)
	}
	v.takeRuns(&t, care)
	if t.Answer, t.Signs = takeAnswer(exercises, len(t.Runs)), v.signWords(care); care.Stopping(v.today) != nil {
		t.Answer = "No exercises and no running until the sign is lifted."
	}
	if len(open) > 0 {
		t.Mornings = []string{
			"Each morning, at the first steps: how much it hurts, from 0, none, to 10, the worst imaginable; and for how many minutes it is stiff.",
			"After a run: the worst pain in it, the pain an hour later, and whether you limped.",
			"After the exercises: the worst pain in them.",
		}
	}
	for _, f := range rehab.RedFlags {
		t.Stop = append(t.Stop, export.Figure{Name: f.Sign, Text: callWords(f.Do, v.server.Emergency)})
	}
	return t, nil
}

func takeAnswer(exercises, runs int) string {
	var parts []string
	if exercises > 0 {
		parts = append(parts, words.Plural(exercises, "exercise"))
	}
	if runs > 0 {
		parts = append(parts, words.Plural(runs, "run"))
	}
	if len(parts) == 0 {
		return "Nothing is set for this week."
	}
	return "This week: " + strings.Join(parts, " and ") + "."
}

// takePart is the programme of one complaint, on the days of this week.
func takePart(care *assess.Care, r *rehab.Record, today load.Day) export.TakePart {
	part := export.TakePart{Name: placeName(&r.Complaint)}
	course, ok := care.Plan.CourseOn(r, care.Grown, today)
	switch {
	case care.Stopping(today) != nil:
		part.Says = noExercise
		return part
	case !ok:
		part.Says = "No programme is set."
		return part
	case course.Prescription.State == rehab.Paused:
		part.Says = "The programme is paused: none of it is due."
		return part
	case course.Phase() == 0 && course.Prescription.Started > today:
		part.Says = "The programme begins on " + words.Weekday(course.Prescription.Started) + "."
		return part
	case course.Phase() == 0:
		part.Says = "The programme has come to its end."
		return part
	}
	log := care.Plan.Of(r.Complaint.ID)
	for _, d := range course.Doses() {
		if days := daysOf(&d, log, today, course.Flared); days != "" {
			part.Exercises = append(part.Exercises, export.TakeExercise{Name: doseLineOf(&d).Name, Amount: words.Dose(&d), Days: days})
		}
	}
	if course.Flared {
		part.Says = "It flared. Today only what loads little, and only if it is tolerated. Open your logbook tomorrow for what comes then."
	}
	part.Pain = painWords(&course.Programme, r)
	return part
}

// placeName is what hurts in a runner's words, with the place where that is said better by
// centimetres than by a word of the trade.
func placeName(c *rehab.Complaint) string {
	info, err := rehab.FindSite(c.Site)
	if err != nil || c.Bone || !strings.HasPrefix(info.Name, info.Short) {
		return complaintName(c)
	}
	return title(string(c.Side) + " " + info.Name)
}

// daysOf says on which days of the week an exercise is due, if it is done on each that comes.
func daysOf(d *rehab.Dose, log []rehab.Done, today load.Day, only bool) string {
	if only {
		return "today"
	}
	if d.DaysPerWeek == 7 && d.MinHours <= 24 {
		return "every day"
	}
	var days []string
	imagined := slices.Clone(log)
	for day := today; day < today+takenDays; day++ {
		done := func(one rehab.Done) bool { return one.Exercise == d.Exercise && one.Day == day }
		if slices.ContainsFunc(log, done) || !d.DueOn(imagined, day) {
			continue
		}
		days = append(days, day.Noon().Format("Mon 2 Jan"))
		imagined = append(imagined, rehab.Done{Exercise: d.Exercise, Day: day})
	}
	return strings.Join(days, ", ")
}

// painWords are the rule of the programme and that of the morning after, in sentences.
func painWords(p *rehab.Programme, r *rehab.Record) []string {
	rule := p.PainRule
	if rule == "none published" || rule == "" {
		rule = "the programme does not say"
	}
	text := "Pain in the exercises: " + rule
	if p.MostPain < rehab.MaxScore && !strings.Contains(rule, "of 10") {
		text += fmt.Sprintf("; at most %d of 10", p.MostPain)
	}
	lines := []string{text + "."}
	if n := len(r.Mornings); n > 0 {
		lines = append(lines, title(baseWords(r.Mornings[n-1].Base))+"; more than that says that it was too much.")
	}
	return lines
}

// noRampWords say why there is no way back to running.
func noRampWords(care *assess.Care, today load.Day) string {
	if _, err := care.RampSite(today); err != nil {
		return "No run is planned. " + words.Sentenced(err.Error())
	}
	return "No way back to running is planned yet."
}

// takeRuns adds the runs of the week, or why there is none.
func (v *visit) takeRuns(t *export.TakeHome, care *assess.Care) {
	r := care.Ramp
	switch flag := care.Stopping(v.today); {
	case flag != nil:
		t.RunsSay = stoppedWords
		return
	case r == nil:
		t.RunsSay = noRampWords(care, v.today)
		return
	case r.Refused != nil:
		t.RunsSay = "There is no plan of runs. " + words.Sentenced(r.Refused.Error())
		return
	}
	for _, run := range plannedRuns(r, v.today, takenDays) {
		if d, ok := r.On(run.Day); ok {
			t.Runs = append(t.Runs, export.PlannedRun{Day: run.Day, What: words.Planned(d)})
		}
	}
	if len(t.Runs) == 0 {
		answer, _ := rampAnswer(r, v.today)
		t.RunsSay = answer
		return
	}
	z := rehab.DefaultZones
	t.RunsSay = "If each morning is as usual. After one that is not, open your logbook before you run."
	t.How = []string{
		"Walk for 5 to 10 minutes before and after. Easy, on flat ground. Exercises on the same day come after the run.",
		fmt.Sprintf("Pain in the run and an hour later: up to %g of 10 is as it should be. Above %g, or if you limp: stop the run.", z.Settled, z.High),
	}
	if d, ok := r.On(t.Runs[0].Day); ok && d.Adds != "" && d.Adds != ramp.RunDays {
		t.How = append(t.How, words.Addition(d.Adds))
	}
}
