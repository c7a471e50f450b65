package ramp

import (
	"fmt"
	"math"
	"slices"
	"time"

	"tidemark/load"
	"tidemark/load/rehab"
)

// The rules that a [Broken] names: those of the rehab reference 5.2 by their number, then
// what makes a plan readable at all.
const (
	RuleSpacing   = "C1"      // rest days between runs
	RuleAddition  = "C2"      // one thing after the other is added, once the goal is reached
	RuleDwell     = "C3"      // two settled runs at a stage
	RuleSession   = "C4"      // session cap
	RuleWeek      = "C5"      // week cap
	RuleFirstWeek = "C10"     // the first week of a novice with a BMI over 30
	RuleFlares    = "flares"  // the pause after two flares, the end after three
	RuleStopped   = "stopped" // no run where something stands against it
	RuleFrozen    = "frozen"  // nothing grows where something stands against that
	RuleFree      = "free"    // runs on free days only
	RuleNumbers   = "numbers" // the numbers of a day agree with each other
	RuleVerdict   = "verdict" // the verdict is that of the morning
	RuleDays      = "days"    // one day after the other, seven a week
	RuleLadder    = "ladder"  // stages from 1 on, each with running
	RuleInputs    = "inputs"  // what no plan can be made of
)

// Broken says which rule a plan breaks first, in order of day.
type Broken struct {
	Day   load.Day
	Rule  string  // one of the constants
	What  string  // the rule in words
	Value float64 // what the plan has
	Limit float64 // what it is held against, at least or at most as What says
	Unit  string  // of both
}

// Error returns the day, the rule, the value and the limit in words.
func (b *Broken) Error() string {
	return fmt.Sprintf("check plan: %v breaks %s: %s: %.6g, limit %.6g (%s)", b.Day, b.Rule, b.What, b.Value, b.Limit, b.Unit)
}

// tolerance is the difference, in minutes and km, that rounding may make; project default.
const tolerance = 1e-6

// over reports whether value is above limit; what is not a number is above everything.
func over[T ~float64](value, limit T) bool { return !(value <= limit+tolerance) }

// near reports whether two numbers are the same; what is not finite is like nothing.
func near(a, b Minutes) bool { return math.Abs(float64(a-b)) <= tolerance }

// The days that can be written as YYYY-MM-DD. Beyond them day numbers would run over.
var (
	firstStart = load.Date(0, time.January, 1)
	lastStart  = load.Date(9999, time.December, 31)
)

// check is one pass over a plan.
type check struct {
	plan   *Plan
	first  *Day // the first run, nil without one
	runs   *ledger
	course course
}

// Verify re-tests a finished plan from its days, its inputs and its ladder alone. It
// returns nil or a [*Broken]: the first rule that is broken, in order of day.
//
// Held are C1, C2 of what is added after the ladder, C3, C4, C5 and C10 of the rehab
// reference 5.2 as the model (section 9) reads them, the flares of 5.5, what stands against
// running or growth, free days, verdicts, and that the numbers of a day agree. C6 blocks nothing;
// of effort (C7), terrain (C8) and strength (C9) a plan holds nothing.
//
// The verdict of a run is that of the morning in the inputs, settled without one. On a
// rest day a cap or sum of 0 is one that was not said. Verify needs no clock and does not
// change p.
func Verify(p *Plan) error {
	c := &check{plan: p, runs: newLedger(p)}
	if i := slices.IndexFunc(p.Days, func(d Day) bool { return d.Kind == Run }); i >= 0 {
		c.first = &p.Days[i]
	}
	for _, test := range []func() error{c.inputs, c.ladder, c.calendar} {
		if err := test(); err != nil {
			return err
		}
	}
	c.recall()
	for i := range p.Days {
		c.wake(p.Days[i].Day)
		if err := c.day(&p.Days[i]); err != nil {
			return err
		}
	}
	return nil
}

// inputs refuses what no plan can be made of.
func (c *check) inputs() error {
	in := &c.plan.Inputs
	info, err := rehab.FindSite(in.Site)
	if err != nil {
		return &Broken{Day: in.Start, Rule: RuleInputs, What: err.Error(), Unit: "sites"}
	}
	c.course = course{site: info, gap: info.Gap, stages: len(c.plan.Ladder)}
	if in.Start < firstStart || in.Start > lastStart {
		return &Broken{in.Start, RuleInputs, "a start from the year 0 to 9999", float64(in.Start), float64(lastStart), "days since 1970"}
	}
	for _, past := range in.Past {
		if !(past.Run >= 0) || math.IsInf(float64(past.Run), 0) {
			return &Broken{past.Day, RuleInputs, "a run already done of at least no minutes", float64(past.Run), 0, "min"}
		}
	}
	if !(in.Goal.Pace >= 0) || math.IsInf(in.Goal.Pace, 0) {
		return &Broken{in.Start, RuleInputs, "a pace of at least 0", in.Goal.Pace, 0, "min per km"}
	}
	if in.Bone && len(c.plan.Days) > 0 {
		return &Broken{in.Start, RuleInputs, "no days at all with a complaint of bone", float64(len(c.plan.Days)), 0, "days"}
	}
	return nil
}

// ladder tests that the stages count from 1 and run.
func (c *check) ladder() error {
	for i, s := range c.plan.Ladder {
		if s.Stage != i+1 {
			return &Broken{c.plan.Inputs.Start, RuleLadder, "stages count from 1", float64(s.Stage), float64(i + 1), "stage"}
		}
		if !(s.Total() > 0) || s.Reps < 1 || math.IsInf(float64(s.Total()), 0) {
			return &Broken{c.plan.Inputs.Start, RuleLadder, fmt.Sprintf("running above 0 at stage %d", s.Stage), float64(s.Total()), 0, "min"}
		}
	}
	if len(c.plan.Ladder) == 0 && len(c.plan.Days) > 0 {
		return &Broken{c.plan.Inputs.Start, RuleLadder, "at least one stage", 0, 1, "stages"}
	}
	return nil
}

// calendar tests that there are seven days a week, one after the other from the start.
func (c *check) calendar() error {
	p := c.plan
	if p.Inputs.Bone && len(p.Days) == 0 {
		return nil
	}
	for i := range p.Days {
		if want := p.Inputs.Start + load.Day(i); p.Days[i].Day != want {
			return &Broken{p.Days[i].Day, RuleDays, "days follow each other from the start", float64(p.Days[i].Day), float64(want), "days since 1970"}
		}
	}
	if len(p.Days)%7 != 0 || len(p.Days)/7 != p.Inputs.Weeks {
		return &Broken{p.Inputs.Start, RuleDays, "seven days for each week", float64(len(p.Days)), 7 * float64(p.Inputs.Weeks), "days"}
	}
	return nil
}
