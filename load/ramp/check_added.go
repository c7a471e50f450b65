package ramp

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// What the additions ask (rehab reference 5.3; model 9): project defaults. A run without a
// walk of 30 min is what C1 and C7 of the reference 5.2 ask before.
const (
	addedDays  = 14
	unbroken   = Minutes(30)
	mostlyDone = 0.9 // of what was due, from which a run that was done counts
)

// added is what the runs so far and their mornings leave of the additions.
type added struct {
	at       int      // the addition of the last run that shows one; 0: none
	since    load.Day // of its first run
	shown    bool     // it was run since it came, or came back
	sure     int      // settled, advancing runs with it
	reached  int      // settled, advancing runs of the wanted length before the first
	back     bool     // the next run is an addition back
	calm     bool     // the morning of the last run was not bad
	top      Minutes  // longest run of the days before the first
	renew    bool     // a run was done that shows none, so that top may be a later one
	unbroken bool     // a run of 30 min without a walk was done
}

// now returns the additions that the next run may be spaced by.
func (a *added) now() int {
	if a.back {
		return max(0, a.at-1)
	}
	return a.at
}

// order is in which order a plan may add: hills last where a site that is followed has its
// uphill or downhill last (rehab reference 5.2 C8).
func (c *check) order() []Addition {
	late := map[rehab.Site]bool{rehab.AchillesIns: true, rehab.Patellar: true}
	in := &c.plan.Inputs
	if late[in.Site] || slices.ContainsFunc(in.Also, func(s rehab.Site) bool { return late[s] }) {
		return []Addition{RunDays, Strides, Speed, Hills}
	}
	return []Addition{RunDays, Strides, Hills, Speed}
}

// adds returns the number of the addition that a day shows, 0 for none; ok is false for one
// that is none.
func (c *check) adds(d *Day) (n int, ok bool) {
	if d.Adds == "" {
		return 0, true
	}
	n = slices.Index(c.order(), d.Adds) + 1
	return n, n > 0
}

// addition is C2 after the ladder: one thing after the other, each for 14 days and two
// settled runs at least, the first after two of the goal; one back after a bad morning, and
// no longer run in them than before.
func (c *check) addition(d *Day) error {
	n, ok := c.adds(d)
	at := &c.course.added
	broken := func(what string, value, limit float64, unit string) error {
		return &Broken{d.Day, RuleAddition, what, value, limit, unit}
	}
	switch {
	case !ok || n > 0 && (d.Kind != Run || d.Stage != 0):
		return broken("an addition is one of a run after the ladder", float64(n), 0, "additions")
	case n == 0:
		return nil
	case n > at.at+1:
		return broken("one addition after the other", float64(n), float64(at.at+1), "additions")
	case at.back && n > at.now():
		return broken("an addition back after a bad morning", float64(n), float64(at.now()), "additions")
	case n > at.at:
		return c.begins(d, n)
	}
	return c.growsNot(d, at.top)
}

// begins tests that an addition may begin with a run of a day.
func (c *check) begins(d *Day, n int) error {
	at := &c.course.added
	broken := func(what string, value, limit int, unit string) error {
		return &Broken{d.Day, RuleAddition, what, float64(value), float64(limit), unit}
	}
	place := c.course.stages + 1 + n
	switch {
	case c.isFrozen(d.Day):
		return broken("no addition while nothing grows", n, at.at, "additions")
	case c.plan.Inputs.Confirm && place > c.lifted(d.Day):
		return broken("no addition without somebody in charge", place, c.lifted(d.Day), "stage")
	case n == 1 && at.reached < dwell:
		return broken("settled runs of the goal before the first addition, at least", at.reached, dwell, "runs")
	case n == 1:
		return c.growsNot(d, c.runs.longestBefore(d.Day))
	case !at.shown || d.Day < at.since+addedDays:
		return broken("days with an addition before the next, at least", int(d.Day-at.since), addedDays, "days")
	case at.sure < dwell:
		return broken("settled runs with an addition before the next, at least", at.sure, dwell, "runs")
	}
	return c.growsNot(d, at.top)
}

// growsNot tests that a run with an addition is no longer than those before. What was done
// already is no part of the plan.
func (c *check) growsNot(d *Day, top Minutes) error {
	if c.course.added.renew {
		top = max(top, c.runs.longestBefore(d.Day))
	}
	if c.plan.Inputs.DoneOn(d.Day) || !over(d.Total, top) {
		return nil
	}
	return &Broken{d.Day, RuleAddition, "no longer run while something is added", float64(d.Total), float64(top), "min"}
}

// lifted is the roof of a day: what stood on it.
func (c *check) lifted(day load.Day) int {
	in := &c.plan.Inputs
	roof := in.Roof
	for i, l := range in.Lifts {
		if i == 0 {
			roof = 0
		}
		if l.Day <= day {
			roof = l.Roof
		}
	}
	return roof
}

// flaredAtRest takes a morning that flared after a rest day: it begins the counts anew, and
// goes an addition back unless the last run's own did.
func (a *added) flaredAtRest() { a.sure, a.reached, a.back = 0, 0, a.back || a.calm }

// add takes a run into the additions, then its morning.
func (c *check) add(d *Day, j rehab.Judgement) {
	n, _ := c.adds(d)
	at, done := &c.course.added, c.plan.Inputs.DoneOn(d.Day)
	switch {
	case n > 0:
		at.show(d.Day, n, c.runs.longestBefore(d.Day))
	case !done:
		*at = added{reached: at.reached, unbroken: at.unbroken}
	case at.back: // whether it was one of the growth again nobody knows
		*at = added{at: at.now(), top: at.top, renew: true, reached: at.reached, unbroken: at.unbroken}
	default:
		at.renew = true
	}
	at.unbroken = at.unbroken || d.Run >= unbroken-tolerance
	at.answer(d, j, n > 0, c.wanted(d, done))
	at.back = at.back || j.Verdict == load.Unsettled && c.course.unrest >= restless
}

// show enters a run with an addition.
func (a *added) show(day load.Day, n int, before Minutes) {
	if a.at == 0 {
		a.top = before
	} else if a.renew {
		a.top = max(a.top, before)
	}
	if n != a.at || !a.shown {
		a.since, a.sure = day, 0
	}
	a.at, a.shown, a.back, a.renew, a.reached = n, true, false, false, 0
}

// answer takes the morning after a run.
func (a *added) answer(d *Day, j rehab.Judgement, shows, wanted bool) {
	a.calm = !j.Verdict.Bad() && d.Over == ""
	switch {
	case !a.calm:
		a.sure, a.reached, a.back = 0, 0, a.back || j.Verdict == load.Flared
	case j.Verdict != load.Settled || !j.Advances:
	case shows:
		a.sure++
	case wanted:
		a.reached++
	}
}

// wanted reports whether a run after the ladder is as long as the goal, and as what C1 asks.
func (c *check) wanted(d *Day, done bool) bool {
	goal := c.plan.Inputs.Goal
	want := max(Minutes(goal.Km*goal.Pace), unbroken)
	if done {
		want *= mostlyDone
	}
	return goal.Km > 0 && d.Stage == 0 && !over(want, d.Run)
}
