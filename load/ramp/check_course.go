package ramp

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// What the adaptation table asks (rehab reference 5.2 and 5.5): project defaults, but for
// the two settled runs of a stage (trial of the military knee, as cited there).
const (
	dwell       = 2  // settled runs at a stage before the next
	inARow      = 4  // settled runs in a row before a rest day less
	upGap       = 1  // rest days between runs, at most, while stages go up
	flareGap    = 3  // rest days before each
	flareRuns   = 2  // of so many runs after a flare
	restless    = 2  // unsettled runs running that go a stage back
	baseDays    = 14 // before the start, in which the longest run is the base
	testMinutes = 10 // a base under it makes the first run a test run
)

// course is what the runs so far and their mornings leave behind.
type course struct {
	site   rehab.SiteInfo
	stages int
	place  int      // stage of the last run, one above the ladder in the growth; 0 before the first
	gap    int      // rest days of the site, without what a bad morning adds
	row    int      // settled runs in a row
	count  int      // settled, advancing runs since the count at the place began
	unrest int      // unsettled runs running at the place
	later  int      // rest days that an unsettled run adds before the next
	wide   int      // runs still to come with the gap after a flare
	back   bool     // the next run is a stage back
	added  added    // what has come to the runs after the ladder
	past   bool     // the ladder may be done: a run of no stage was done after its last
	placed load.Day // of the last run of a stage
	ill
}

// take moves the course on by a run of day and what its morning answered; on a day on which
// nothing grows no rest day less follows.
func (c *course) take(day load.Day, place int, j rehab.Judgement, frozen bool, in *Inputs) {
	if place != c.place {
		c.count, c.unrest = 0, 0
	}
	c.place, c.later, c.wide = place, 0, max(0, c.wide-1)
	switch j.Verdict {
	case load.Settled:
		c.settled(j.Advances, frozen)
	case load.Unsettled:
		c.row, c.count, c.later = 0, 0, 1
		c.unrest++
	}
	c.back = j.Verdict == load.Unsettled && c.unrest >= restless
	if j.Verdict == load.Flared {
		c.flare(day+1, true, in)
	}
}

// settled counts a settled run. A partial one counts in the row, for the row is asked of
// runs without a ramp too, but not at the stage.
func (c *course) settled(advances, frozen bool) {
	c.row++
	c.unrest = 0
	if advances {
		c.count++
	}
	if c.row >= inARow && c.site.Settled < c.gap && !frozen {
		c.gap, c.count = c.site.Settled, 0
	}
}

// asked returns the rest days that the next run must have before it.
func (c *course) asked() int {
	gap := c.gap
	if c.added.now() > 0 {
		gap--
	}
	if !c.added.unbroken {
		gap = max(1, gap)
	}
	if c.wide > 0 {
		gap = max(gap, flareGap)
	}
	return max(0, gap) + c.later
}

// place returns the stage of a run, one above the ladder in the growth after it.
func (c *check) place(d *Day) int {
	if d.Stage == 0 {
		return c.course.stages + 1
	}
	return d.Stage
}

// donePlace is where a run that was done leaves the course: at its stage, or where it was.
func (c *check) donePlace(d *Day) int {
	if d.Stage > 0 {
		return d.Stage
	}
	at := &c.course
	at.past = at.past || at.place == at.stages && at.count >= dwell
	return at.place
}

// spacing is C1: rest days since the run before, a run already done included.
func (c *check) spacing(d *Day) error {
	asked := c.course.asked()
	if rest, ok := c.runs.restBefore(d.Day); ok && rest < asked {
		return &Broken{d.Day, RuleSpacing, "rest days before the run, at least", float64(rest), float64(asked), "days"}
	}
	return nil
}

// notBack says what of a morning is over the baseline.
func notBack(day load.Day, m *rehab.Morning, base rehab.Baseline) error {
	if next := float64(*m.Next); !(next <= base.Pain) {
		return &Broken{day, RuleSpacing, "back to baseline after a flare, first steps", next, base.Pain, "of 10"}
	}
	most := base.Stiffness + settledStiff
	return &Broken{day, RuleSpacing, "back to baseline after a flare, stiffness", float64(*m.Stiffness), most, "min"}
}

// stage is C3: a stage up after two settled runs at the one before, one at a time and not
// while the site's longer gap lasts; a stage back after a flare or two unsettled runs
// running.
func (c *check) stage(d *Day) error {
	place, at := c.place(d), &c.course
	broken := func(what string, value, limit int, unit string) error {
		return &Broken{d.Day, RuleDwell, what, float64(value), float64(limit), unit}
	}
	switch {
	case at.past && d.Stage == 0: // on from what was done
	case at.place == 0:
		if first := max(c.firstStage(), c.plan.Inputs.First); place > first {
			return broken("the first stage fits the longest run before the start", place, first, "stage")
		}
	case at.back && at.place <= at.stages && place > max(1, at.place-1):
		return broken("a stage back", place, max(1, at.place-1), "stage")
	case c.plan.Inputs.Confirm && place > at.place && place > c.roof(d.Day):
		return broken("no stage up without somebody in charge", place, c.roof(d.Day), "stage")
	case place > at.place+1:
		return broken("one stage up at a time", place, at.place+1, "stage")
	case place > at.place && at.gap > upGap:
		return broken("no stage up before the rest days are fewer", at.gap, upGap, "rest days")
	case place > at.place && at.count < dwell:
		return broken("settled runs at a stage before the next, at least", at.count, dwell, "runs")
	}
	return nil
}

// roof is the highest stage that a run may have where stages wait for somebody: the highest
// that was allowed since the morning after the last run of a stage.
func (c *check) roof(day load.Day) int {
	in := &c.plan.Inputs
	roof := max(in.First, c.firstStage())
	for d := min(day, max(in.Start, c.course.placed+1)); d <= day; d++ {
		roof = max(roof, c.lifted(d))
	}
	return roof
}

// firstStage returns the highest stage whose minutes are at most the base, else 1.
func (c *check) firstStage() int {
	base := c.base()
	for i, s := range slices.Backward(c.plan.Ladder) {
		if !over(s.Total(), base) {
			return i + 1
		}
	}
	return 1
}

// base returns the longest run already done in the 14 days before the start, 0 without one.
func (c *check) base() (longest Minutes) {
	for _, past := range c.plan.Inputs.Past {
		if ago := int64(c.plan.Inputs.Start) - int64(past.Day); ago >= 1 && ago <= baseDays {
			longest = max(longest, past.Run)
		}
	}
	return longest
}
