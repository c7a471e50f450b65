package web

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/export"
	"tidemark/web/words"
)

// visitSpan is six weeks, which a visit looks back on.
const visitSpan = 42

// visitModel is the visit of today, and the picture of its page.
func (v *visit) visitModel(ctx context.Context) (m export.Visit, picture tideline, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return m, picture, err
	}
	q := assess.Query{Measure: care.Measure(v.today), From: v.today - visitSpan + 1, To: v.today}
	p, err := v.picture(ctx, q)
	if err != nil {
		return m, picture, err
	}
	notes, err := v.book.Notes(ctx)
	if err != nil {
		return m, picture, err
	}
	results, err := v.book.Results(ctx)
	if err != nil {
		return m, picture, err
	}
	m = export.Visit{Name: v.runner.Name, Day: v.today, Late: lateWords(care, v.today), Caution: words.FollowClinician}
	if !p.Empty {
		picture = tidelineOf(&p, q, care)
		picture.strips(care, v.today)
		m.Picture, m.Numbers = pictureOf(&picture), visitNumbers(&p, v.today)
	}
	last := v.visitNotes(&m, notes)
	cases := care.Cases(v.today)
	for i, r := range care.Open(v.today) {
		m.Cases = append(m.Cases, visitCaseOf(care, r, &cases[i], v.today))
	}
	m.Signs = v.signWords(care)
	m.Answer, m.Since = visitAnswer(cases), sinceWords(&p, care, last, v.today)
	m.Tests = visitTests(results, care)
	m.Plan = visitPlan(care, cases, v.today)
	return m, picture, nil
}

// visitNotes adds what was noted at visits, and returns the day of the last one; 0: none was.
func (v *visit) visitNotes(m *export.Visit, notes []journal.Note) (last load.Day) {
	for _, n := range slices.Backward(notes) {
		if n.Kind != journal.NoteVisit {
			continue
		}
		text := n.Text
		if n.HasNext {
			text = strings.TrimSpace(text + " Next visit: " + words.Day(n.Next) + ".")
		}
		if n.Day > last {
			last, m.Next = n.Day, ""
			if n.HasNext && n.Next >= v.today {
				m.Next = words.Weekday(n.Next)
			}
		}
		m.Notes = append(m.Notes, export.VisitNote{Text: text, Who: words.Day(n.Day) + ", " + v.who(n.By)})
	}
	return last
}

// pictureOf is the picture without what the page alone needs.
func pictureOf(t *tideline) *export.Picture {
	p := export.Picture{Tideline: t.Tideline, Unit: t.Unit, Says: t.Label}
	for _, s := range t.Strips {
		one := export.Strip{Name: s.Name}
		for _, m := range s.Marks {
			one.Mornings = append(one.Mornings, m.Mark)
		}
		for _, tick := range s.Ticks {
			one.Worked = append(one.Worked, tick.Worked)
		}
		p.Strips = append(p.Strips, one)
	}
	return &p
}

// visitNumbers are the load of today's date in the words of clinicians.
func visitNumbers(p *journal.Picture, today load.Day) (out []export.Figure) {
	for i := range p.Days {
		row := &p.Days[i]
		if row.Date != today {
			continue
		}
		for _, one := range []struct {
			name string
			v    load.Value
		}{{"longest run in 30 days", row.Tidemark}, {"longest run that the limits count", row.HeldTidemark}} {
			if n, ok := one.v.Get(); ok {
				out = append(out, export.Figure{Name: one.name, Text: words.Value(p.Measure, n)})
			}
		}
		out = append(out, export.Figure{Name: "in the last 7 days", Text: words.Value(p.Measure, row.Acute)})
	}
	return out
}

func visitAnswer(cases []assess.Case) string {
	if len(cases) == 0 {
		return "Nothing is followed."
	}
	c := &cases[0]
	text := fmt.Sprintf("%s, week %d", title(caseName(c)), c.Week)
	if len(cases) > 1 {
		text += fmt.Sprintf(", and %d more", len(cases)-1)
	}
	return text + "."
}

// sinceWords tells what happened since a day in one line; 0: in the six weeks.
func sinceWords(p *journal.Picture, care *assess.Care, last, today load.Day) string {
	from, name := last, "Since the visit of "+words.Day(last)
	if last == 0 {
		from, name = today-visitSpan, "In six weeks"
	}
	runs := 0
	for i := range p.Sessions {
		if p.Sessions[i].Day > from {
			runs++
		}
	}
	if len(care.Records) == 0 {
		return name + ": " + words.Plural(runs, "run") + "."
	}
	verdicts := make(map[load.Verdict]int)
	for i := range care.Records {
		for _, m := range care.Records[i].Mornings {
			if m.Day > from && m.Day <= today {
				verdicts[m.Judgement.Verdict]++
			}
		}
	}
	return fmt.Sprintf("%s: %s; mornings: %d settled, %d not settled, %d flared, %d missing.", name, words.Plural(runs, "run"),
		verdicts[load.Settled], verdicts[load.Unsettled], verdicts[load.Flared], verdicts[load.Missing])
}

// visitCaseOf is one complaint: how it is, and what was done of what was set.
func visitCaseOf(care *assess.Care, r *rehab.Record, c *assess.Case, today load.Day) export.VisitCase {
	out := export.VisitCase{Name: title(caseName(c))}
	add := func(format string, args ...any) { out.Lines = append(out.Lines, fmt.Sprintf(format, args...)) }
	if c.HasFlare {
		add("last flare %s", agoWords(today-c.Flare))
	} else {
		add("no flare")
	}
	add("mornings on time: %d of the last %d", c.Said, c.Asked)
	if n := len(r.Mornings); n > 0 {
		add("%s", baseWords(r.Mornings[n-1].Base))
	}
	course, ok := care.Plan.CourseOn(r, care.Grown, today)
	if !ok {
		add("no programme is set")
		return out
	}
	out.Programme = course.Programme.Name
	if course.Prescription.State == rehab.Paused {
		out.Programme += ", paused"
	}
	if c.HasDone {
		add("%.0f %% of what was set for seven days was done", 100*c.Done)
	}
	courses, log := care.Plan.Courses(r, care.Grown, today), care.Plan.Of(r.Complaint.ID)
	if phase, ok := course.PhaseOn(today); ok {
		for i := range phase.Doses {
			line := doseLineOf(&phase.Doses[i])
			out.Doses = append(out.Doses, export.VisitDose{Name: line.Name, Set: line.Amount + ", " + line.Often})
		}
	}
	doneByWeek(&out, courses, log, today)
	return out
}

// doneByWeek adds what was done in each of six weeks up to yesterday.
func doneByWeek(c *export.VisitCase, courses []rehab.Course, log []rehab.Done, today load.Day) {
	at := make(map[string]int)
	for i, d := range c.Doses {
		at[d.Name] = i
	}
	for end := today - visitSpan + 6; end < today; end += 7 {
		shares, mean, ok := rehab.WeekOf(courses, log, end)
		if !ok {
			continue // nothing was set
		}
		for _, s := range shares {
			name := doseLineOf(&rehab.Dose{Exercise: s.Exercise}).Name
			k, known := at[name]
			if !known {
				k = len(c.Doses)
				at[name], c.Doses = k, append(c.Doses, export.VisitDose{Name: name, Set: "not any more"})
			}
			d := &c.Doses[k]
			for len(d.Done) < len(c.Weeks) {
				d.Done = append(d.Done, "")
			}
			d.Done = append(d.Done, fmt.Sprintf("%.0f %%", 100*s.Share))
			d.Last = fmt.Sprintf("%.0f of %.0f", s.Done, s.Planned)
		}
		c.Weeks, c.Mean = append(c.Weeks, end), append(c.Mean, fmt.Sprintf("%.0f %%", 100*mean))
		for i := range c.Doses {
			d := &c.Doses[i]
			if len(d.Done) < len(c.Weeks) {
				d.Last = ""
			}
			for len(d.Done) < len(c.Weeks) {
				d.Done = append(d.Done, "")
			}
		}
	}
}

// lateWords says how many scores of six weeks were typed after their day.
func lateWords(care *assess.Care, today load.Day) string {
	if len(care.Records) == 0 {
		return ""
	}
	said, late := 0, 0
	for i := range care.Records {
		for _, m := range care.Records[i].Mornings {
			if m.Day > today-visitSpan && m.Day <= today && m.Next != nil {
				said++
				if m.Late {
					late++
				}
			}
		}
	}
	if said == 0 {
		return "No score of a morning was typed in six weeks."
	}
	return fmt.Sprintf("%d of %s of mornings were typed after their day (%.0f %%).", late, words.Plural(said, "score"), 100*float64(late)/float64(said))
}
