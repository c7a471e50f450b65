package ramp

import (
	"math"

	"tidemark/load"
	"tidemark/load/rehab"
)

// day tests one day: first what it says of itself, then the rules, then the caps that it
// shows, so that a run over a cap is told as that and not as a wrong number.
func (c *check) day(d *Day) error {
	if err := c.numbers(d); err != nil {
		return err
	}
	if d.Kind == Run {
		if err := c.run(d); err != nil {
			return err
		}
	}
	return c.shown(d)
}

// numbers tests repetitions, minutes and the row of the ladder.
func (c *check) numbers(d *Day) error {
	broken := func(what string, value, limit float64, unit string) error {
		return &Broken{d.Day, RuleNumbers, what, value, limit, unit}
	}
	switch {
	case d.Kind != Run && d.Kind != Rest:
		return broken("a day is a run or a rest day", 0, 1, "kinds")
	case d.Kind == Rest:
		if d.Stage != 0 || d.Reps != 0 || d.Run != 0 || d.Walk != 0 || d.Total != 0 {
			return broken("no running on a rest day", float64(d.Total), 0, "min")
		}
		return c.addition(d)
	case c.plan.Inputs.DoneOn(d.Day):
		return nil
	case d.Stage < 0 || d.Stage > len(c.plan.Ladder):
		return broken("a stage of the ladder", float64(d.Stage), float64(len(c.plan.Ladder)), "stage")
	case d.Reps < 1 || !(d.Run > 0) || math.IsInf(float64(d.Run), 0):
		return broken("a run has minutes above 0", float64(d.Run), 0, "min")
	case !near(d.Total, Minutes(d.Reps)*d.Run):
		return broken("total is repetitions times minutes", float64(d.Total), float64(d.Reps)*float64(d.Run), "min")
	}
	return c.row(d)
}

// row tests that a run is as its stage has it; in the growth there is no stage.
func (c *check) row(d *Day) error {
	if d.Stage == 0 {
		return nil
	}
	s := c.plan.Ladder[d.Stage-1]
	switch {
	case d.Reps != s.Reps:
		return &Broken{d.Day, RuleNumbers, "repetitions as the stage has them", float64(d.Reps), float64(s.Reps), "repetitions"}
	case !near(d.Run, s.Run):
		return &Broken{d.Day, RuleNumbers, "running as the stage has it", float64(d.Run), float64(s.Run), "min"}
	case !near(d.Walk, s.Walk):
		return &Broken{d.Day, RuleNumbers, "walking as the stage has it", float64(d.Walk), float64(s.Walk), "min"}
	}
	return nil
}

// run tests a run against the rules, and takes it into the course.
func (c *check) run(d *Day) error {
	answer := c.answer(d.Day)
	if c.plan.Inputs.DoneOn(d.Day) {
		if err := c.addition(d); err != nil {
			return err
		}
		said := answer
		if d.Stage == 0 && answer.Verdict == load.Settled {
			answer.Verdict, c.course.unrest = load.Missing, 0 // it counts as load only
		}
		if d.Stage > 0 {
			c.course.placed = d.Day
		}
		c.course.take(d.Day, c.donePlace(d), answer, c.isFrozen(d.Day+1), &c.plan.Inputs)
		c.add(d, said)
		return nil // what was done is no part of the plan
	}
	if d.Verdict != answer.Verdict {
		return &Broken{d.Day, RuleVerdict, "the verdict is that of the morning (1 settled, 2 unsettled, 3 flared, 4 missing)", float64(d.Verdict), float64(answer.Verdict), "verdict"}
	}
	for _, test := range []func(*Day) error{c.free, c.stopped, c.spacing, c.rested, c.frozen, c.stage, c.addition, c.caps, c.firstWeek} {
		if err := test(d); err != nil {
			return err
		}
	}
	c.course.take(d.Day, c.place(d), answer, c.isFrozen(d.Day+1), &c.plan.Inputs)
	c.add(d, answer)
	c.course.past, c.course.placed = c.course.past && d.Stage == 0, d.Day
	return nil
}

// answer judges the mornings after a day with a run; of several complaints the worst
// counts, and each must advance. A run without one is settled (interface, section 2).
func (c *check) answer(day load.Day) rehab.Judgement {
	in := &c.plan.Inputs
	worst := rehab.Judgement{Verdict: load.Settled, Advances: in.baseOn(day+1).Pain <= settledUpTo}
	for i := range in.Mornings {
		if m := &in.Mornings[i]; m.Day == day+1 {
			j := judge(m, in.baseOn(m.Day), true, in.Bone)
			advances := worst.Advances && j.Advances
			if badness[j.Verdict] > badness[worst.Verdict] {
				worst = j
			}
			worst.Advances = advances
		}
	}
	return worst
}

// badness orders the verdicts.
var badness = map[load.Verdict]int{load.Settled: 0, load.Missing: 1, load.Unsettled: 2, load.Flared: 3}

// free tests that the runner has time.
func (c *check) free(d *Day) error {
	weekday := d.Day.Weekday()
	if !c.plan.Inputs.Free[weekday] {
		return &Broken{d.Day, RuleFree, "no run on a day that is not free (0 is sunday)", float64(weekday), 0, "weekday"}
	}
	return nil
}

// shown tests the sum and the caps that a day shows.
func (c *check) shown(d *Day) error {
	week := c.runs.week(d.Day)
	if d.Kind == Run && !near(d.Week, week) || d.Kind == Rest && d.Week != 0 && !near(d.Week, week) {
		return &Broken{d.Day, RuleNumbers, "week is the sum of seven days", float64(d.Week), float64(week), "min"}
	}
	if session := c.runs.sessionCap(d.Day); !c.says(d, d.Session, session, d.Total) {
		return &Broken{d.Day, RuleNumbers, "session is the cap of the day", float64(d.Session), float64(session), "min"}
	}
	if weekCap := c.weekCap(d); !c.says(d, d.WeekCap, weekCap, week) {
		return &Broken{d.Day, RuleNumbers, "week cap is that of the day", float64(d.WeekCap), float64(weekCap), "min"}
	}
	return nil
}

// says reports whether a shown cap agrees with the one recomputed. After the ladder a plan
// may hold itself to less (every fourth week, all but the longest run), but then it must
// obey what it shows. The test run has no caps.
func (c *check) says(d *Day, shown, limit, done Minutes) bool {
	switch {
	case c.plan.Inputs.DoneOn(d.Day):
		return true
	case d.Kind == Run && c.testRun(d):
		return true
	case d.Kind == Rest && shown == 0:
		return true
	case c.afterLadder(d):
		return shown >= 0 && !over(shown, limit) && (d.Kind == Rest || !over(done, shown))
	}
	return near(shown, limit)
}
