package assess

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Case is how something that hurts stands on a day, in what a list of many shows.
type Case struct {
	ID       string
	Site     rehab.Site
	Side     rehab.Side
	Bone     bool
	Status   rehab.Status
	Opened   load.Day // the last time, where it was opened again
	Week     int      // since it was opened, from 1
	Flare    load.Day
	HasFlare bool // since it was opened
	Said     int  // mornings said on time, of
	Asked    int  // the days of the last 14 on which it was followed, today left out

	Programme string
	Phase     int     // from 1; 0: none is done
	Paused    bool    // the programme
	Done      float64 // share of what was set in the last seven days
	HasDone   bool

	Ramp  string // state of the way back: running, held, ended; empty: none
	Stage int    // of the next run; 0 after the ladder, or without a way back
	Waits []Wait

	Order  rehab.Order // the standing order that was given last, also where its last day has passed
	Orders int         // how many were given
}

// Name is what hurts in a runner's words.
func (c *Case) Name() string {
	return (&rehab.Complaint{Site: c.Site, Side: c.Side, Bone: c.Bone}).Name()
}

// WaitKind is what waits for somebody's answer.
type WaitKind string

// The kinds.
const (
	WaitStage  WaitKind = "stage"  // of the way back, to be confirmed
	WaitPhase  WaitKind = "phase"  // of the programme, to be confirmed
	WaitFlare  WaitKind = "flare"  // of the last seven days
	WaitReview WaitKind = "review" // 12 weeks of it, or a plan that has paused or ended by itself
)

// Wait is something that waits for whoever is in charge.
type Wait struct {
	Kind   WaitKind
	Since  load.Day
	Number int // of the stage or phase
	Text   string
}

// How long what is looked at lasts; project defaults, 12 weeks after Silbernagel and Crossley
// 2015 (three months of exercise first).
const (
	caseDays    = 14
	flareWaits  = 7
	reviewWeeks = 12
)

// Cases returns what is followed on a day, in order of entry.
func (c *Care) Cases(today load.Day) (out []Case) {
	for _, r := range c.Open(today) {
		out = append(out, c.caseOf(r, today))
	}
	return out
}

func (c *Care) caseOf(r *rehab.Record, today load.Day) Case {
	one := Case{
		ID: r.Complaint.ID, Site: r.Complaint.Site, Side: r.Complaint.Side, Bone: r.Complaint.Bone, Opened: r.Complaint.FollowedFrom(today),
	}
	one.Status, _ = r.Complaint.Status(today)
	one.Week = int(today-one.Opened)/7 + 1
	for _, m := range r.Mornings {
		if m.Judgement.Verdict == load.Flared && m.Day >= one.Opened && m.Day <= today {
			one.Flare, one.HasFlare = m.Day, true
		}
		if m.Day >= today-caseDays && m.Day < today && m.Next != nil && !m.Late {
			one.Said++
		}
	}
	one.Asked = int(min(caseDays, today-one.Opened))
	if one.HasFlare && today-one.Flare < flareWaits {
		one.Waits = append(one.Waits, Wait{WaitFlare, one.Flare, 0, "the morning of " + one.Flare.Spoken() + " flared"})
	}
	for _, o := range c.Plan.Orders {
		if o.Complaint == one.ID {
			one.Order, one.Orders = o, one.Orders+1
		}
	}
	c.programmeOf(&one, r, today)
	c.wayBackOf(&one, today)
	if one.Week > reviewWeeks {
		one.Waits = append(one.Waits, Wait{WaitReview, one.Opened + 7*reviewWeeks, 0, fmt.Sprintf("followed for more than %d weeks", reviewWeeks)})
	}
	return one
}

func (c *Care) programmeOf(one *Case, r *rehab.Record, today load.Day) {
	courses := c.Plan.Courses(r, c.Grown, today)
	course, ok := c.Plan.CourseOn(r, c.Grown, today)
	if !ok {
		return
	}
	one.Programme, one.Phase, one.Paused = course.Programme.Name, course.Phase(), course.Prescription.State == rehab.Paused
	_, one.Done, one.HasDone = rehab.WeekOf(courses, c.Plan.Of(one.ID), today-1)
	if course.Waiting > 0 {
		since := today - load.Day(course.Waiting) + 1
		one.Waits = append(one.Waits, Wait{WaitPhase, since, one.Phase + 1, fmt.Sprintf("phase %d of the programme: %s", one.Phase+1, course.Advice.Why)})
	}
}

// wayBackOf adds the way back, which is one for all that is followed.
func (c *Care) wayBackOf(one *Case, today load.Day) {
	if c.Ramp == nil || c.Ramp.Refused != nil {
		return
	}
	one.Ramp = string(c.Ramp.Terms.State)
	if next, ok := c.Ramp.Next(today); ok {
		one.Stage = next.Stage
	}
	if stage, since, ok := c.Ramp.Waiting(today); ok {
		one.Waits = append(one.Waits, Wait{WaitStage, since, stage, fmt.Sprintf("stage %d of the way back", stage)})
	}
	for day := today - flareWaits + 1; day <= today; day++ {
		if d, ok := c.Ramp.On(day); ok && (d.Action == ramp.Pause || d.Action == ramp.End) {
			one.Waits = append(one.Waits, Wait{WaitReview, day, 0, "the way back has stopped by itself"})
			return
		}
	}
}
