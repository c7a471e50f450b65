package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// visitSpan is six weeks, which the page of a visit shows.
const visitSpan = 42

// visitPage is one page for a visit, to look at together and to print.
type visitPage struct {
	page
	Day      load.Day
	Answer   string
	Since    string // what happened since the last visit, in one line
	Tideline tideline
	Empty    bool
	Cases    []visitCase
	Late     string // share of scores that were typed late
	Tests    []string
	Copy     string // to be copied into the record
	Notes    []noteLine
	Form     visitForm
}

// visitCase is one complaint of it.
type visitCase struct {
	Name  string
	Lines []string
}

// visitForm keeps notes of a visit.
type visitForm struct{ Action, Day, Next, Text, Fault string }

func (s *Server) visitSheet(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.visitPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "visit", out)
}

func (v *visit) visitPage(ctx context.Context) (out visitPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	q := assess.Query{Measure: care.Measure(v.today), From: v.today - visitSpan + 1, To: v.today}
	p, err := v.picture(ctx, q)
	if err != nil {
		return out, err
	}
	out = visitPage{page: v.page("Visit", "visit"), Day: v.today, Empty: p.Empty}
	if !p.Empty {
		out.Tideline = tidelineOf(&p, q, care)
		out.Tideline.strips(care, v.today)
	}
	notes, err := v.book.Notes(ctx)
	if err != nil {
		return out, err
	}
	last := load.Day(0)
	for _, n := range slices.Backward(notes) {
		if n.Kind != journal.NoteVisit {
			continue
		}
		last = max(last, n.Day)
		text := n.Text
		if n.HasNext {
			text = strings.TrimSpace(text + " Next visit: " + words.Day(n.Next) + ".")
		}
		out.Notes = append(out.Notes, noteLine{text, words.Day(n.Day) + ", " + v.who(n.By)})
	}
	cases := care.Cases(v.today)
	for i := range cases {
		out.Cases = append(out.Cases, visitCaseOf(&cases[i], v.today))
	}
	out.Answer, out.Since = visitAnswer(cases), sinceWords(&p, care, last, v.today)
	out.Late = lateWords(care, v.today)
	if out.Tests, err = v.latestTests(ctx); err != nil {
		return out, err
	}
	out.Form = visitForm{Action: v.link.Base() + "/visit", Day: v.today.String()}
	out.Copy = out.record(v)
	return out, nil
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

func visitCaseOf(c *assess.Case, today load.Day) visitCase {
	line := visitCase{Name: title(caseName(c))}
	add := func(format string, args ...any) { line.Lines = append(line.Lines, fmt.Sprintf(format, args...)) }
	if c.HasFlare {
		add("last flare %s", agoWords(today-c.Flare))
	} else {
		add("no flare")
	}
	add("mornings on time: %d of the last %d", c.Said, c.Asked)
	switch {
	case c.Programme == "":
		add("no programme is set")
	case c.HasDone:
		add("%s, phase %d: %.0f %% of what was set for seven days was done", c.Programme, c.Phase, 100*c.Done)
	default:
		add("%s, phase %d", c.Programme, c.Phase)
	}
	if c.Ramp != "" {
		add("the way back to running: %s, stage %d", c.Ramp, c.Stage)
	}
	for _, w := range c.Waits {
		add("waits for an answer: %s", w.Text)
	}
	return line
}

// lateWords says how many scores of six weeks were typed after their day.
func lateWords(care *assess.Care, today load.Day) string {
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
	return fmt.Sprintf("%d of %s of mornings were typed after their day.", late, words.Plural(said, "score"))
}

// latestTests are the last results of each test, with the band that repeats differ by.
func (v *visit) latestTests(ctx context.Context) (lines []string, err error) {
	results, err := v.book.Results(ctx)
	last := make(map[string]journal.Result)
	for _, r := range results {
		last[r.Test] = r
	}
	for i := range rehab.Outcomes {
		o := &rehab.Outcomes[i]
		r, ok := last[o.ID]
		if !ok {
			continue
		}
		text := o.Name + ", " + words.Day(r.Day) + ": "
		if o.Sides {
			text += "left " + amountOr(r.Left) + ", right " + amountOr(r.Right) + " " + o.Unit
		} else {
			text += amountOr(r.Total) + " " + o.Unit
		}
		if o.Noise > 0 {
			text += fmt.Sprintf("; repeats differ by %g", o.Noise)
		}
		lines = append(lines, text)
	}
	return lines, err
}

func amountOr(v *float64) string {
	if v == nil {
		return "not said"
	}
	return exact(*v)
}

// record is the visit as plain text.
func (p *visitPage) record(v *visit) string {
	lines := []string{v.runner.Name + ", " + words.Day(v.today), p.Answer, p.Since}
	for _, c := range p.Cases {
		lines = append(lines, c.Name+":")
		for _, l := range c.Lines {
			lines = append(lines, "- "+l)
		}
	}
	lines = append(lines, p.Late)
	return strings.Join(append(lines, p.Tests...), "\n")
}

// putVisit keeps notes of a visit, and the day of the next.
func (s *Server) putVisit(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	f := visitForm{Action: v.link.Base() + "/visit", Day: r.PostForm.Get("day"), Next: r.PostForm.Get("next"), Text: strings.TrimSpace(r.PostForm.Get("text"))}
	n := journal.Note{Kind: journal.NoteVisit, Text: f.Text}
	var err error
	if n.Day, err = load.ParseDay(f.Day); err != nil || n.Day > v.today {
		f.Fault = "Say on which day the visit was: today or before."
	}
	if f.Next != "" {
		if n.Next, err = load.ParseDay(f.Next); err != nil || n.Next <= n.Day {
			f.Fault = "The next visit comes after this one."
		}
		n.HasNext = true
	}
	if f.Fault == "" && f.Text == "" && f.Next == "" {
		f.Fault = "Write something, or say when the next visit is."
	}
	if f.Fault == "" {
		if err := n.Check(); err != nil {
			f.Fault = words.Sentenced(err.Error())
		}
	}
	if f.Fault == "" {
		if err := v.book.PutNote(r.Context(), n); err != nil {
			return err
		}
		http.Redirect(w, r, f.Action, http.StatusSeeOther)
		return nil
	}
	out, err := v.visitPage(r.Context())
	if err != nil {
		return err
	}
	out.Form = f
	return s.render(w, http.StatusUnprocessableEntity, "visit", out)
}
