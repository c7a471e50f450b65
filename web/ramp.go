package web

import (
	"context"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// rampPage is the way back to running: what today holds and why, what comes, what would
// change it, and what was set.
type rampPage struct {
	page
	Answer, Why string
	Base        string // of the page's addresses
	Nothing     bool   // nothing is followed
	Refused     string
	Set, Held   bool
	Next        string // how far it is to the next stage
	Waits       int    // stage that waits for whoever is in charge, as a roof counts; 0: none
	WaitsFor    string // it in words: "Stage 3 waits"
	WaitsSince  string
	Gate        gateForm
	Days        []rampLine // from today on
	More        []rampLine // beyond the first two weeks
	Past        []rampLine // the latest first
	Reasons     []string
	How         []string // to run it
	Seen        int      // how often it was set, when the page was made
	Courses     []courseLine
	HasGoal     bool
	Form        rampForm
	Hold        holdForm
	Feed        feedView
	Constraints []ramp.Constraint
	Said        []settingChange
}

// rampLine is one day of the plan.
type rampLine struct {
	Day              load.Day
	What, Morning    string
	Mark, Why        string
	Today, Run, Done bool
	Workout          string // address of the file for a watch; empty: none
}

// courseLine is one way that it could go.
type courseLine struct{ Name, Continuous, Top, Goal string }

// rampShown is how many days ahead stand on the page unfolded.
const rampShown = 14

func (s *Server) ramp(w http.ResponseWriter, r *http.Request, v *visit) error {
	if !v.rights.Has(journal.RightMedical) {
		return s.brake(w, r, v, http.StatusOK, holdForm{})
	}
	out, err := v.rampPage(r.Context())
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "ramp", out)
}

func (v *visit) rampPage(ctx context.Context) (out rampPage, err error) {
	care, err := v.book.Care(ctx, v.today)
	if err != nil {
		return out, err
	}
	rows, err := v.book.Ramps(ctx)
	if err != nil {
		return out, err
	}
	out = rampPage{page: v.page("The way back to running", "ramp"), Base: v.link.Base() + "/ramp", Constraints: ramp.Constraints}
	if v.rights.Has(journal.RightShare) {
		if out.Feed.Open, err = v.book.HasFeed(ctx); err != nil {
			return out, err
		}
	}
	out.Seen = len(rows)
	site, err := care.RampSite(v.today)
	out.Nothing = err != nil
	if err != nil {
		out.Answer, out.Why = "No way back to running is planned.", words.Sentenced(err.Error())
		return out, nil
	}
	out.Gate = v.gateForm(care.Gates, site)
	var sites []rehab.Site
	for _, r := range care.Open(v.today) {
		sites = append(sites, r.Complaint.Site)
	}
	for _, line := range ramp.How(sites) {
		out.How = append(out.How, title(line))
	}
	out.Form = v.rampForm(care, rows, site)
	out.Said = v.rampSaid(rows)
	out.show(care.Ramp, v.today)
	if f := care.Stopping(v.today); f != nil && care.Ramp == nil {
		out.Answer, out.Why = stoppedWords, words.Sentenced(f.Flag.Sign+": "+f.Flag.Do)
	} else if care.Ramp == nil {
		out.Answer, out.Why = "No way back to running is planned yet.", "Set one below."
		if !out.Gate.Open {
			out.Answer, out.Why = "Strength and walking only, until the bars below are passed.", "What is missing is said beside each."
		}
	}
	return out, nil
}

// show lays a plan out.
func (p *rampPage) show(r *assess.Ramp, today load.Day) {
	if r == nil {
		return
	}
	p.Set, p.Held = true, r.Terms.HeldOn(today)
	p.Hold = holdForm{Action: p.Base + "/state"}
	if r.Refused != nil {
		p.Answer, p.Refused = "There is no plan to show.", words.Sentenced(r.Refused.Error())
		return
	}
	p.Answer, p.Why = rampAnswer(r, today)
	p.Next = stepsToNext(r, today)
	if stage, since, ok := r.Waiting(today); ok {
		p.Waits, p.WaitsFor, p.WaitsSince = stage, title(words.Waits(ramp.StepWords(&r.Plan.Inputs, stage))), "since "+words.Day(since)
		if waited := int(today - since); waited >= rehab.AnswerDays {
			p.WaitsSince += fmt.Sprintf("; nobody has answered for %d days, so it is the same again", waited)
		}
	}
	for i := range r.Plan.Days {
		d := &r.Plan.Days[i]
		line := p.line(r, d, today)
		switch {
		case d.Day < today:
			p.Past = append(p.Past, line)
		case d.Day < today+rampShown:
			p.Days = append(p.Days, line)
		default:
			p.More = append(p.More, line)
		}
	}
	slices.Reverse(p.Past)
	for _, reason := range r.Plan.Reasons {
		p.Reasons = append(p.Reasons, spoken(title(reason)))
	}
	p.HasGoal = r.Terms.Goal.Km > 0
	for _, c := range r.Courses(today) {
		p.Courses = append(p.Courses, courseLineOf(&c))
	}
}

func courseLineOf(c *assess.Course) courseLine {
	day := func(d load.Day) string {
		if d == 0 {
			return "not in a year"
		}
		return words.Day(d)
	}
	if c.Refused != nil {
		return courseLine{Name: c.Name, Continuous: title(c.Refused.Error())}
	}
	return courseLine{c.Name, day(c.Continuous), day(c.Top), day(c.Goal)}
}

// stoppedWords answer while a sign stands.
const stoppedWords = "No running until it is lifted."

// afterStop says what becomes of the days that something stood against running (rehab
// reference 5.5).
const afterStop = " Runs that are due until then are missed ones: after 3 days the stage is begun anew, after 7 it is one back, after 14 three, and after 28 a new test run begins a new plan."

// rampAnswer says what today holds, and why.
func rampAnswer(r *assess.Ramp, today load.Day) (answer, why string) {
	next, runs := r.Next(today)
	then := ""
	if runs && next.Day > today {
		then = fmt.Sprintf(" The next run is on %s: %s.", words.Weekday(next.Day), words.Turned(next))
	}
	d, ok := r.On(today)
	stop, stopped := r.Stopped(today)
	switch {
	case stopped && stop.Rule == assess.LimitRedFlag:
		return stoppedWords, words.Sentenced(title(stop.Why)) + afterStop
	case stopped && stop.Rule == load.LimitClinicianLed:
		return "No running until a clinician has set it.", words.Sentenced(title(stop.Why)) + " What whoever is in charge sets or confirms from now on holds." + afterStop
	case r.Terms.HeldOn(today):
		until := "until it is lifted"
		if r.Terms.Until > 0 {
			until = "until " + words.Day(r.Terms.Until)
		}
		return "Held " + until + ".", "Who said so, and why, stands below." + then
	case stopped:
		return "No running for now.", words.Sentenced(title(stop.Why)) + " It goes on once every bar below is passed, or whoever is in charge sets it anew and says why." + then
	case !ok && today < r.Terms.Start:
		return "It begins on " + words.Weekday(r.Terms.Start) + ".", strings.TrimSpace(then)
	case !ok:
		return "The plan has come to its end.", "Set another one below, or end it."
	case r.Plan.Inputs.DoneOn(today):
		return "Today's run is done.", title(firstPart(d.Reason)) + "." + then
	case d.Kind == ramp.Run:
		why = title(firstPart(d.Reason)) + ". Walk for 5 to 10 minutes before and after. " + words.Addition(d.Adds)
		return words.Planned(d) + " today.", strings.TrimSpace(why)
	}
	return "Rest from running today.", title(firstPart(d.Reason)) + "." + then
}

// firstPart is a reason without what would follow from a morning that is still to come.
func firstPart(reason string) string {
	for _, verdict := range []string{"; settled", "; unsettled", "; flared", "; missing"} {
		reason, _, _ = strings.Cut(reason, verdict)
	}
	return spoken(reason)
}

var isoDay = regexp.MustCompile(`\d{4}-\d{2}-\d{2}`)

// spoken writes the dates and signs of a reason as people read them.
func spoken(reason string) string {
	reason = isoDay.ReplaceAllStringFunc(reason, func(text string) string {
		day, err := load.ParseDay(text)
		if err != nil {
			return text
		}
		return words.Day(day)
	})
	return strings.NewReplacer("<=", "≤", ">=", "≥").Replace(reason)
}

// stepsToNext says how many settled runs the next stage is away, or the next addition.
func stepsToNext(r *assess.Ramp, today load.Day) string {
	now, ok := r.Next(today)
	if !ok {
		return ""
	}
	runs := 0
	for i := range r.Plan.Days {
		d := &r.Plan.Days[i]
		if d.Day < now.Day || d.Kind != ramp.Run {
			continue
		}
		if step := r.Step(d); step > r.Step(now) {
			return fmt.Sprintf("%s that settle away from %s, on %s at the earliest.", words.Plural(runs, "run"), ramp.StepWords(&r.Plan.Inputs, step), words.Weekday(d.Day))
		}
		runs++
	}
	return ""
}

func (p *rampPage) line(r *assess.Ramp, d *ramp.Day, today load.Day) rampLine {
	done := r.Plan.Inputs.DoneOn(d.Day)
	line := rampLine{Day: d.Day, What: words.Planned(d), Why: spoken(title(d.Reason)), Today: d.Day == today, Run: d.Kind == ramp.Run, Done: done}
	if d.Stage > 0 && !done {
		line.What += fmt.Sprintf(" (stage %d)", d.Stage)
	}
	switch answered := slices.ContainsFunc(r.Plan.Inputs.Mornings, func(m rehab.Morning) bool { return m.Day == d.Day+1 }); {
	case done && answered:
		line.Morning, line.Mark = words.Verdict(d.Verdict), verdictMarks[d.Verdict]
	case !done:
		line.Why = title(firstPart(d.Reason))
	}
	if d.Kind == ramp.Run && !done && d.Day >= today {
		line.Workout = p.Base + "/" + d.Day.String() + ".fit"
	}
	return line
}

// gateForm is what was found of whether running can begin.
type gateForm struct {
	Action                              string
	Bars                                []ramp.Bar
	Found                               string // when
	Open                                bool
	Jumps                               bool
	Daily, Walk, Raises, Hops, LoadPain string
	Settled                             bool
	Fault                               string
}

func (v *visit) gateForm(gates []ramp.Found, site rehab.Site) gateForm {
	f := gateForm{Action: v.link.Base() + "/ramp/gate"}
	var last ramp.Gate
	if n := len(gates); n > 0 {
		last = gates[n-1].Gate
		f.Found = words.Day(last.Day)
	}
	f.Bars, f.Open, f.Jumps = last.Bars(site), last.Open(site), len(last.Bars(site)) > 3
	score := func(s *rehab.Score) string {
		if s == nil {
			return ""
		}
		return strconv.Itoa(int(*s))
	}
	count := func(n *int) string {
		if n == nil {
			return ""
		}
		return strconv.Itoa(*n)
	}
	f.Daily, f.LoadPain, f.Settled = score(last.DailyPain), score(last.LoadPain), last.WalkSettled
	f.Walk, f.Raises, f.Hops = count(last.Walk), count(last.Raises), count(last.Hops)
	return f
}

// rampSaid tells who set what, the last first.
func (v *visit) rampSaid(rows []journal.RampTerms) (said []settingChange) {
	for _, row := range slices.Backward(rows) {
		what := map[ramp.State]string{ramp.Running: "planned from " + words.Day(row.Start), ramp.Held: "held", ramp.Ended: "ended"}[row.State]
		if row.State == ramp.Held && row.Until > 0 {
			what += " until " + words.Day(row.Until)
		}
		if row.State == ramp.Running && row.First > 0 {
			what += fmt.Sprintf(", at stage %d", row.First)
		}
		if row.Why != "" {
			what += "; " + row.Why
		}
		said = append(said, settingChange{words.Day(load.DayOf(row.At.Time())), v.who(row.By), title(what)})
	}
	return said
}
