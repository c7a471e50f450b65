package web

import (
	"context"
	"errors"
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

// hurtPage is one thing that hurts: how it went, and who is in charge of it.
type hurtPage struct {
	page
	ID, Name, Answer, Why string
	Done                  string // what was just kept; empty: nothing
	Course                []string
	Tests                 []string
	Followed, Ours        bool   // Ours: handed over, the owner is in charge
	Coming                string // the day from which it will be; empty: none was said
	Again                 bool   // ended, and still the same if it comes back
	New                   string // address where it is opened as another one
	Step                  stepForm
	Usual                 usualForm
	Said                  []settingChange
}

// stepForm hands over, ends or opens again, as it was typed.
type stepForm struct {
	Action            string
	Seen              int
	Day, Onset, Why   string
	Wrong, Fault, For string // For: the button that was pressed; Wrong: the name of the field
}

// usualForm says what is usual from a day on.
type usualForm struct {
	Action, From, Pain, Stiffness string
	Field, Fault                  string
}

// hurtSaid are what the page says was kept, by what was sent.
var hurtSaid = map[string]string{
	"set-up": "All of it is kept.", "handed-over": "Handing over is kept.", "open": "It is followed by whoever is in charge.", "closed": "It is ended. If that was a slip, follow it again below.",
	"again": "It is followed again, with what was set.", "usual": "What is usual is kept.",
}

func (s *Server) hurt(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.hurtPage(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	if out.Done = hurtSaid[r.URL.Query().Get("said")]; out.Done != "" {
		out.Title = out.Done + " " + out.Title // the first that is read aloud
	}
	return s.render(w, http.StatusOK, "hurt", out)
}

func (v *visit) hurtPage(ctx context.Context, id string) (out hurtPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	i := slices.IndexFunc(care.Records, func(r rehab.Record) bool { return r.Complaint.ID == id })
	if i < 0 {
		return out, errNoPage
	}
	r := &care.Records[i]
	c := &r.Complaint
	action := v.link.Base() + "/hurts/" + id
	out = hurtPage{page: v.page(complaintName(c), "hurts"), ID: id, Name: complaintName(c)}
	out.Step = stepForm{Action: action, Day: v.today.String(), Onset: v.today.String()}
	out.Usual = usualForm{Action: action + "/usual", From: v.today.String()}
	if out.Step.Seen, err = v.book.Changes(ctx); err != nil {
		return out, err
	}
	out.stands(v, c)
	out.Course = v.hurtCourse(care, r)
	next, err := v.nextVisit(ctx)
	if err != nil {
		return out, err
	}
	if out.Followed && next != "" {
		out.Course = append(out.Course, next)
	}
	if out.Tests, err = v.testsSince(ctx, c.FollowedFrom(v.today)); err != nil {
		return out, err
	}
	steps, err := v.book.ComplaintSteps(ctx)
	if err != nil {
		return out, err
	}
	for _, s := range slices.Backward(steps) {
		if s.Complaint == id {
			out.Said = append(out.Said, v.stepSaid(&s, ""))
		}
	}
	return out, nil
}

// stands says who is in charge, and what can be done about that.
func (p *hurtPage) stands(v *visit, c *rehab.Complaint) {
	status, _ := c.Status(v.today)
	began := words.Day(c.Began(v.today))
	p.Followed, p.Ours = status != rehab.Closed, status == rehab.HandedOver
	if coming, ok := c.Coming(v.today); ok {
		p.Coming = words.Weekday(coming.Day)
	}
	switch status {
	case rehab.HandedOver:
		p.Answer, p.Why = p.Name+": "+v.statusWords(status)+".", "The limits stay as they are. It began on "+began+", about."
	case rehab.Closed:
		last := c.Steps[len(c.Steps)-1].Day
		p.Answer, p.Why = p.Name+": ended on "+words.Day(last)+".", "Its mornings are not asked about any more. It began on "+began+", about."
		if p.Again = v.today-last <= journal.RelapseDays; !p.Again {
			p.New = fmt.Sprintf("%s/set-up?site=%s&side=%s", v.link.Base(), c.Site, c.Side)
			if !v.rights.Has(journal.RightTreat) {
				p.New = v.link.Base() + "/hurts#new"
			}
		}
		if last == v.today {
			p.Step.Onset = c.Began(v.today).String() // a slip, and no relapse
		}
	default:
		p.Answer, p.Why = p.Name+": week "+fmt.Sprint(int(v.today-c.FollowedFrom(v.today))/7+1)+".", "Followed since "+words.Day(c.FollowedFrom(v.today))+"; it began on "+began+", about."
	}
}

// statusWords say where something stands, to the owner or to others.
func (v *visit) statusWords(status rehab.Status) string {
	if status == rehab.HandedOver && !v.rights.Has(journal.RightShare) {
		return "handed over to the runner"
	}
	return statusWords[status]
}

// stepSaid tells one step, with the name of what it is of where there are several.
func (v *visit) stepSaid(s *journal.ComplaintStep, name string) settingChange {
	what := v.statusWords(s.Status)
	if name != "" {
		what = name + " on " + words.Day(s.Day) + ": " + what
	} else {
		what = title(what) + map[bool]string{true: " on ", false: " from "}[s.Status == rehab.Closed] + words.Day(s.Day)
	}
	if s.Onset != 0 {
		what += " again, since " + words.Day(s.Onset)
	}
	if s.Why != "" {
		what += ", " + s.Why
	}
	return settingChange{words.Day(load.DayOf(s.At.Time())), v.who(s.By), what}
}

// hurtCourse says in a few lines how it went and what is set.
func (v *visit) hurtCourse(care *assess.Care, r *rehab.Record) (lines []string) {
	add := func(format string, args ...any) { lines = append(lines, fmt.Sprintf(format, args...)) }
	flares, last := 0, load.Day(0)
	for _, m := range r.Mornings {
		if m.Judgement.Verdict == load.Flared && m.Day <= v.today {
			flares, last = flares+1, m.Day
		}
	}
	switch {
	case flares == 0:
		add("No morning flared.")
	default:
		add("%s flared, the last on %s.", words.Plural(flares, "morning"), words.Day(last))
	}
	if base, ok := usualOf(r); ok {
		add("%s.", title(baseWords(base)))
	}
	cases := care.Cases(v.today)
	i := slices.IndexFunc(cases, func(c assess.Case) bool { return c.ID == r.Complaint.ID })
	if i < 0 {
		return lines
	}
	c := &cases[i]
	if c.Asked > 0 {
		add("Mornings on time: %d of the last %d.", c.Said, c.Asked)
	}
	programme := "No programme is set."
	if c.Programme != "" {
		programme = "Programme: " + c.Programme
		switch {
		case c.Paused:
			programme += ", paused."
		case c.Phase > 0:
			programme += fmt.Sprintf("; now phase %d.", c.Phase)
		default:
			programme += ", not begun or at its end."
		}
	}
	add("%s", programme)
	switch {
	case c.Ramp == "":
		add("No way back to running is set.")
	case c.Ramp == "running" && c.Stage > 0:
		add("The way back to running: stage %d.", c.Stage)
	case c.Ramp == "running":
		add("The way back to running: after the ladder, or stopped.")
	default:
		add("The way back to running: %s.", c.Ramp)
	}
	add("%s.", title(orderStands(&c.Order, v.today)))
	return lines
}

// nextVisit is what the notes of the last visit say of the next; empty: nothing, or a day that
// has passed.
func (v *visit) nextVisit(ctx context.Context) (string, error) {
	last, err := v.lastVisit(ctx)
	if !last.HasNext || last.Next < v.today {
		return "", err
	}
	return "Next visit: " + words.Day(last.Next) + ".", err
}

// nextDay is that day as a form has it, if it is still to come: who notes something more does
// not take it back by that.
func (v *visit) nextDay(ctx context.Context) (string, error) {
	last, err := v.lastVisit(ctx)
	if !last.HasNext || last.Next <= v.today {
		return "", err
	}
	return last.Next.String(), err
}

func (v *visit) lastVisit(ctx context.Context) (last journal.Note, err error) {
	notes, err := v.book.Notes(ctx)
	for _, n := range notes {
		if n.Kind == journal.NoteVisit && n.Day >= last.Day {
			last = n
		}
	}
	return last, err
}

// testsSince are the first and the last result of each test since a day.
func (v *visit) testsSince(ctx context.Context, since load.Day) (lines []string, err error) {
	results, err := v.book.Results(ctx)
	if err != nil {
		return nil, err
	}
	for i := range rehab.Outcomes {
		o := &rehab.Outcomes[i]
		var first, last *journal.Result
		for j := range results {
			if r := &results[j]; r.Test == o.ID && r.Day >= since {
				if last = r; first == nil {
					first = r
				}
			}
		}
		if first == nil {
			continue
		}
		text := o.Name + ": " + resultWords(o, first) + " on " + words.Day(first.Day)
		if last != first {
			text += ", now " + resultWords(o, last) + " on " + words.Day(last.Day)
		}
		lines = append(lines, text+".")
	}
	return lines, nil
}

// stepHurt hands something over, takes it back or ends it.
func (s *Server) stepHurt(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	step, why, fault := rehab.Step{Day: v.today, Status: rehab.Status(get("status"))}, get("why"), fieldFault{}
	switch step.Status {
	case rehab.HandedOver:
		step.Day, fault = handingOver(get("day"), v.today)
	case rehab.Closed, rehab.Open:
	default:
		fault = fieldFault{"day", "Say whether it is handed over or ended."}
	}
	if len(why) > maxWhy {
		fault = fieldFault{"why", "The reason is longer than " + size(maxWhy) + "."}
	}
	status := http.StatusUnprocessableEntity
	if fault.Text == "" {
		err := v.book.StepComplaintAfter(r.Context(), seenOf(r), r.PathValue("id"), step, why)
		switch {
		case errors.Is(err, journal.ErrConflict):
			status, fault = http.StatusConflict, fieldFault{"why", "It was changed meanwhile, or is so already. Look at what stands, and press again if this still holds."}
		case err != nil:
			return err
		default:
			http.Redirect(w, r, v.link.Base()+"/hurts/"+r.PathValue("id")+"?said="+string(step.Status), http.StatusSeeOther)
			return nil
		}
	}
	return s.hurtAgain(w, r, v, status, func(out *hurtPage) {
		out.Step.Day, out.Step.Why, out.Step.Fault, out.Step.Wrong, out.Step.For = get("day"), why, fault.Text, fault.Field, string(step.Status)
	})
}

// handingOver reads the day from which the owner is in charge: today, if none is said.
func handingOver(text string, today load.Day) (load.Day, fieldFault) {
	if text == "" {
		return today, fieldFault{}
	}
	day, err := load.ParseDay(text)
	switch {
	case err != nil:
		return 0, fieldFault{"day", "Say from which day the runner is in charge."}
	case day < today:
		return 0, fieldFault{"day", "That day has passed: it is handed over today or on a day to come."}
	case day > today+366:
		return 0, fieldFault{"day", "That is more than a year ahead: it is handed over within one."}
	}
	return day, fieldFault{}
}

// hurtAgain shows the page with what was typed and what is wrong with it.
func (s *Server) hurtAgain(w http.ResponseWriter, r *http.Request, v *visit, status int, typed func(*hurtPage)) error {
	out, err := v.hurtPage(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	typed(&out)
	return s.render(w, status, "hurt", out)
}

// followAgain opens again what was ended less than six months ago.
func (s *Server) followAgain(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	all, err := v.book.Complaints(r.Context())
	if err != nil {
		return err
	}
	i := slices.IndexFunc(all, func(c rehab.Complaint) bool { return c.ID == r.PathValue("id") })
	if i < 0 {
		return errNoPage
	}
	c, why, fault := all[i], get("why"), fieldFault{}
	last := c.Steps[len(c.Steps)-1]
	onset, err := load.ParseDay(get("onset"))
	switch {
	case last.Status == rehab.Closed && v.today-last.Day > journal.RelapseDays:
		fault = fieldFault{"onset", "It was ended more than six months ago: what hurts now is opened as another one."}
	case err != nil || onset > v.today:
		fault = fieldFault{"onset", "Say when it began again, about: today or before."}
	case onset < c.Onset:
		fault = fieldFault{"onset", "It began again after it first did, on " + words.Day(c.Onset) + "."}
	case len(why) > maxWhy:
		fault = fieldFault{"why", "The reason is longer than " + size(maxWhy) + "."}
	}
	status := http.StatusUnprocessableEntity
	if fault.Text == "" {
		again := rehab.Complaint{Site: c.Site, Onset: onset, Bone: c.Bone, Linked: c.Linked, Steps: []rehab.Step{{Day: v.today, Status: rehab.Open}}}
		_, err := v.book.OpenComplaint(r.Context(), again, []rehab.Side{c.Side}, why)
		switch {
		case errors.Is(err, journal.ErrConflict):
			status, fault = http.StatusConflict, fieldFault{"onset", "It is followed already."}
		case err != nil:
			return err
		default:
			http.Redirect(w, r, v.link.Base()+"/hurts/"+c.ID+"?said=again", http.StatusSeeOther)
			return nil
		}
	}
	return s.hurtAgain(w, r, v, status, func(out *hurtPage) {
		out.Step.Onset, out.Step.Why, out.Step.Fault, out.Step.Wrong, out.Step.For = get("onset"), why, fault.Text, fault.Field, "again"
	})
}

// sayUsual keeps what is usual in the morning from a day on.
func (s *Server) sayUsual(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	get := func(key string) string { return strings.TrimSpace(r.PostForm.Get(key)) }
	base, fault := readUsual(get, v.today)
	status := http.StatusUnprocessableEntity
	if fault.Text == "" {
		err := v.book.SetBaseAfter(r.Context(), seenOf(r), r.PathValue("id"), base)
		switch {
		case errors.Is(err, journal.ErrConflict):
			status, fault = http.StatusConflict, fieldFault{"from", "It was changed meanwhile. Look at what stands, and press again if this still holds."}
		case err != nil:
			return err
		default:
			http.Redirect(w, r, v.link.Base()+"/hurts/"+r.PathValue("id")+"?said=usual", http.StatusSeeOther)
			return nil
		}
	}
	return s.hurtAgain(w, r, v, status, func(out *hurtPage) {
		out.Usual.From, out.Usual.Pain, out.Usual.Stiffness = get("from"), get("pain"), get("stiffness")
		out.Usual.Field, out.Usual.Fault = fault.Field, fault.Text
	})
}

// usualBack is how many days back what is usual may be said to hold from; project default.
const usualBack = 365

// readUsual reads what is usual, and from which day on.
func readUsual(get func(string) string, today load.Day) (base rehab.Base, fault fieldFault) {
	var err error
	if base.From, err = load.ParseDay(get("from")); err != nil || base.From > today || base.From < today-usualBack {
		return base, fieldFault{"from", "Say from which day it is usual: today, or within the last year."}
	}
	for _, f := range []struct {
		field string
		to    **float64
	}{{"pain", &base.Pain}, {"stiffness", &base.Stiffness}} {
		v, ok := optionalNumber(get(f.field))
		if *f.to = v; !ok {
			return base, fieldFault{f.field, "What is usual in the morning is a number, or nothing: 1, or 2.5."}
		}
		if err := base.Check(); err != nil {
			return base, fieldFault{f.field, words.Sentenced(err.Error())}
		}
	}
	if base.Pain == nil && base.Stiffness == nil {
		return base, fieldFault{"pain", "Say a score, or how many minutes it is stiff."}
	}
	return base, fieldFault{}
}
