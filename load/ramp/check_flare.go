package ramp

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// ill is what flares leave behind. One lasts until a morning is as usual again, and a run that
// flares is one more.
type ill struct {
	sick   bool           // no morning was as usual since the last flare
	unwell *rehab.Morning // the last after a rest day that has said so since; nil: none has
	last   load.Day       // morning of the last flare
	any    bool
	began  []load.Day // the first mornings
	paused load.Day   // no run before it
	ended  bool
}

// flare enters a morning that flared; known are those of days before start where they were
// reviewed.
func (i *ill) flare(day load.Day, ran bool, in *Inputs) {
	more := !i.sick || ran
	if more {
		i.began = append(i.began, day)
	}
	i.sick, i.unwell, i.any, i.last = true, nil, true, day
	first := i.began[len(i.began)-1]
	within := func(days load.Day) (n int) {
		for _, d := range i.began {
			if first-d < days && !(in.Reviewed && d < in.Start) {
				n++
			}
		}
		return n
	}
	if within(twoFlaresDays) >= twoFlares && (more || day < i.paused) {
		i.paused = day + pausedFor
	}
	i.ended = i.ended || within(mostFlaresDays) >= mostFlares
}

// recall reads the flares of the days before the start.
func (c *check) recall() {
	in := &c.plan.Inputs
	for day := in.Start - pastDays; day < in.Start; day++ {
		c.wake(day)
		if c.runs.at(c.runs.sum, day) > 0 {
			c.course.wide = max(0, c.course.wide-1)
			if c.answer(day).Verdict == load.Flared {
				c.course.flare(day+1, true, in)
			}
		}
	}
}

// wake reads the mornings of a date: one after a rest day may be a flare. One is over when all
// that was said of a date is as usual, on time, and of the complaint that last was not; where
// mornings are not asked for, silence says so too if none has said otherwise.
func (c *check) wake(day load.Day) {
	in, at := &c.plan.Inputs, &c.course
	ran := c.runs.at(c.runs.sum, day-1) > 0
	of := in.Resting
	if ran {
		of = in.Mornings
	}
	said, ends, same := false, true, at.unwell == nil
	for i := range of {
		m := &of[i]
		if m.Day != day {
			continue
		}
		said, ends = true, ends && !m.Late && back(m, in.baseOn(day))
		same = same || m.Complaint == at.unwell.Complaint
		switch {
		case !ran && judge(m, in.baseOn(day), false, in.Bone).Verdict == load.Flared:
			at.flare(day, false, in)
		case (at.sick || at.any && at.wide == flareRuns) && !ran && m.Next != nil && !back(m, in.baseOn(day)):
			at.sick, at.unwell = true, m
		}
	}
	if said && ends && same || !said && !in.Asked && at.unwell == nil {
		at.sick, at.unwell = false, nil
	}
}

// flare sets the course back by a morning that flared.
func (c *course) flare(day load.Day, ran bool, in *Inputs) {
	c.row, c.count, c.unrest, c.wide, c.back = 0, 0, 0, flareRuns, true
	c.ill.flare(day, ran, in)
	if !ran {
		c.added.flaredAtRest()
	}
}

// rested is R 5.5 after flares: rest days, a morning as usual, the week of the second and the
// end by the third.
func (c *check) rested(d *Day) error {
	broken := func(rule, what string, value, limit float64, unit string) error {
		return &Broken{d.Day, rule, what, value, limit, unit}
	}
	at := &c.course
	switch {
	case at.ended:
		return broken(RuleFlares, "no run after three flares in 28 days", float64(len(at.began)), mostFlares-1, "flares")
	case d.Day < at.paused:
		return broken(RuleFlares, "no run in the week after the second flare in 14 days", float64(d.Day), float64(at.paused), "days since 1970")
	case at.any && at.wide == flareRuns && d.Day < at.last+flareGap:
		return broken(RuleSpacing, "rest days after the morning that flared, at least", float64(d.Day-at.last), flareGap, "days")
	case at.sick && at.unwell != nil:
		return notBack(d.Day, at.unwell, c.plan.Inputs.baseOn(at.unwell.Day))
	case at.sick:
		return broken(RuleSpacing, "a morning as usual since the flare", 0, 1, "mornings")
	}
	return nil
}

// stopped tests that nothing is run where something stands against it, or what is past was
// missed.
func (c *check) stopped(d *Day) error {
	in := &c.plan.Inputs
	missed := slices.ContainsFunc(in.Missed, func(s load.DaySpan) bool { return s.Holds(d.Day) })
	stop, stands := StopOn(in.Stops, d.Day)
	if missed || stands {
		return &Broken{d.Day, RuleStopped, "no run on a day that was missed or is stopped " + stop.Why, float64(d.Total), 0, "min"}
	}
	return nil
}

// frozen tests that nothing grows while something stands against it.
func (c *check) frozen(d *Day) error {
	if !c.isFrozen(d.Day) || c.testRun(d) {
		return nil
	}
	if place := c.place(d); c.course.place > 0 && place > c.course.place {
		return &Broken{d.Day, RuleFrozen, "no stage up while nothing grows", float64(place), float64(c.course.place), "stage"}
	}
	if longest := c.runs.longestBefore(d.Day); d.Stage == 0 && over(d.Total, longest) {
		return &Broken{d.Day, RuleFrozen, "no longer run while nothing grows", float64(d.Total), float64(longest), "min"}
	}
	return nil
}

func (c *check) isFrozen(day load.Day) bool {
	return slices.ContainsFunc(c.plan.Inputs.Frozen, func(s Stop) bool { return s.Holds(day) })
}
