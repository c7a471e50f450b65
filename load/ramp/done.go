package ramp

import (
	"fmt"
	"slices"

	"tidemark/load"
)

// ranInstead sets what was run on a day in the place of what was planned. It counts for
// the stage if it was due, held to the caps and was about as long; then it is to the plan
// what the planned one would have been.
func (p *planner) ranInstead(day *Day, was turn, runs []Minutes) turn {
	var total Minutes
	for _, run := range runs {
		total += run
	}
	planned := *day
	over := p.over(day, total)
	*day = Day{Day: day.Day, Kind: Run, Session: day.Session, WeekCap: day.WeekCap, Reps: 1, Run: slices.Max(runs), Total: total}
	day.Over = over
	t := turn{runs: runs, unplanned: over != ""}
	switch {
	case over != "":
		day.Reason = p.say("done: %s min, %s: unsettled at best", inWords(total), over)
	case total < Minutes(DoneShare*float64(planned.Total))-hair:
		day.Reason = p.say("done: %s min, short of the %s min that were due: it counts as load only", inWords(total), inWords(planned.Total))
	default:
		t.counts, t.long, t.rung, t.adds = true, was.long, was.rung, was.adds
		t.full = was.full && day.Run >= Minutes(DoneShare*float64(planned.Total))-hair
		day.Stage, day.Adds = planned.Stage, planned.Adds
		if total <= planned.Total+hair && len(runs) == 1 {
			day.Reps, day.Run, day.Walk = planned.Reps, planned.Run, planned.Walk
		}
		day.Reason = p.say("done: %s min, session cap %s min", inWords(total), inWords(day.Session))
	}
	return t
}

// over says what makes a run one that the plan did not have.
func (p *planner) over(day *Day, total Minutes) string {
	week := p.book.sum[p.book.at(day.Day)] + total
	switch {
	case day.Kind == Rest:
		return fmt.Sprintf("on a rest day of the plan (%s)", day.Reason)
	case p.test && total > day.Total+DoneOver:
		return fmt.Sprintf("over the test run of %s min", inWords(day.Total))
	case p.test:
		return ""
	case total > day.Session+DoneOver:
		return fmt.Sprintf("over the session cap of %s min", inWords(day.Session))
	case week > day.WeekCap+DoneOver:
		return fmt.Sprintf("the week at %s min, over the weekly cap of %s min", inWords(week), inWords(day.WeekCap))
	case day.Day < p.in.Start+7 && p.ranSince(day.Day)+total > p.firstWeek()+DoneOver:
		return fmt.Sprintf("over the %s min of the first week", inWords(p.firstWeek()))
	}
	return ""
}

// isMissed reports whether nothing is run on a day that may have had a run.
func (p *planner) isMissed(d load.Day) bool {
	return len(p.done[d]) == 0 && slices.ContainsFunc(p.in.Missed, func(s load.DaySpan) bool { return s.Holds(d) })
}

// miss makes a day with a run that was due one of rest.
func (p *planner) miss(day *Day) {
	if !p.isLate {
		p.isLate, p.missed = true, day.Day
	}
	*day = Day{
		Day: day.Day, Kind: Rest, Session: day.Session, WeekCap: day.WeekCap,
		Reason: p.say("rest: missed, %s min were due, first on %v", inWords(day.Total), p.missed),
	}
}

// catchUp lets a run that comes late act on the stage (rehab reference 5.5).
func (p *planner) catchUp(d load.Day) {
	if !p.isLate {
		return
	}
	p.isLate = false
	late := int(d - p.missed)
	if p.test {
		return // there is no stage to go back from
	}
	if late > MissedGoOn {
		p.withdraw()
	}
	switch {
	case late > MissedBackThree:
		p.finish(d, "the run was due %d days before, on %v, %d > %d: a new test run begins a new plan", late, p.missed, late, MissedBackThree)
		return
	case late > MissedBackOne:
		p.back(3)
		p.note = p.say("due %d days before, > %d: three stages back, ", late, MissedBackOne)
	case late > MissedRepeat:
		p.back(1)
		p.note = p.say("due %d days before, > %d: a stage back, ", late, MissedRepeat)
	case late > MissedGoOn:
		p.anew()
		p.note = p.say("due %d days before, > %d: the stage anew, ", late, MissedGoOn)
	}
}
