package ramp

import "tidemark/load"

// The caps (rehab reference 5.2, C4, C5 and C10; model section 9 after the ladder). Ten per
// cent, and 3 km for a novice with a BMI over 30, are of the literature cited there; the
// others are project defaults.
const (
	longestDays   = 30 // before a day, in which its longest run is looked for
	weekEnds      = 28 // days before a day on which the weeks of B28 end
	grownFrom     = 7  // days ago, weeks of B7 ended
	grownTo       = 34 // and to here
	sessionShare  = 0.10
	sessionFloor  = Minutes(3)
	weekShare     = 1.3
	weekFloor     = Minutes(10)
	grownShare    = 1.15
	bmiOver       = 30
	firstWeekDays = 7
	firstWeekKm   = 3
	slowest       = 2.4 // m/s, of a runner without a pace; project default
)

// pastDays is how many days before the start the caps look at: a week that ended 34 days
// before it.
const pastDays = grownTo + 6

// ledger holds minutes by day, from some weeks before the start. Days outside are 0.
type ledger struct {
	first    load.Day
	sum      []Minutes // of all runs of a day
	longest  []Minutes // of the longest
	baseWeek Minutes   // of the seven days before the start
}

// newLedger returns the runs already done; the plan's own are added as they are tested.
func newLedger(p *Plan) *ledger {
	n := pastDays + len(p.Days)
	l := &ledger{first: p.Inputs.Start - pastDays, sum: make([]Minutes, n), longest: make([]Minutes, n)}
	for _, run := range p.Inputs.Past {
		l.add(run.Day, run.Run)
	}
	l.baseWeek = l.week(p.Inputs.Start - 1)
	return l
}

// add enters a run.
func (l *ledger) add(day load.Day, run Minutes) {
	if i := int64(day) - int64(l.first); i >= 0 && i < int64(len(l.sum)) {
		l.sum[i] += run
		l.longest[i] = max(l.longest[i], run)
	}
}

// at returns the entry of a day.
func (l *ledger) at(of []Minutes, day load.Day) Minutes {
	if i := int64(day) - int64(l.first); i >= 0 && i < int64(len(of)) {
		return of[i]
	}
	return 0
}

// week returns the sum of the seven days that end on day.
func (l *ledger) week(day load.Day) (sum Minutes) {
	for ago := range load.Day(7) {
		sum += l.at(l.sum, day-ago)
	}
	return sum
}

// bestWeek returns the best 7-day sum that ended from to till days before day; the week
// before the start counts throughout (interface, section 2).
func (l *ledger) bestWeek(day load.Day, from, till load.Day) Minutes {
	best := l.baseWeek
	for ago := from; ago <= till; ago++ {
		best = max(best, l.week(day-ago))
	}
	return best
}

// before returns the last day before day that has a run.
func (l *ledger) before(day load.Day) (last load.Day, ok bool) {
	for d := day - 1; int64(d) >= int64(l.first); d-- {
		if l.at(l.sum, d) > 0 {
			return d, true
		}
	}
	return 0, false
}

// restBefore returns the days without a run between day and the run before it; ok is false
// if there is none.
func (l *ledger) restBefore(day load.Day) (rest int, ok bool) {
	last, ok := l.before(day)
	return int(day-last) - 1, ok
}

// sessionCap is C4: the longest run of the 30 days before, and 3 min or a tenth more.
func (l *ledger) sessionCap(day load.Day) Minutes {
	longest := l.longestBefore(day)
	return longest + max(sessionFloor, sessionShare*longest)
}

// longestBefore is the longest run of the 30 days before.
func (l *ledger) longestBefore(day load.Day) (longest Minutes) {
	for ago := load.Day(1); ago <= longestDays; ago++ {
		longest = max(longest, l.at(l.longest, day-ago))
	}
	return longest
}

// weekCap is C5 in the ladder, and the best held week and 15 % after it; on a rest day
// between the two it is the higher.
func (c *check) weekCap(d *Day) Minutes {
	best := c.runs.bestWeek(d.Day, 1, weekEnds)
	ladder := max(weekShare*best, best+weekFloor)
	grown := grownShare * c.runs.bestWeek(d.Day, grownFrom, grownTo)
	if c.isFrozen(d.Day) {
		ladder = max(best, c.runs.longestBefore(d.Day))
		grown = min(grown, ladder)
	}
	switch {
	case !c.afterLadder(d):
		return ladder
	case d.Kind == Run:
		return grown
	}
	return max(ladder, grown)
}

// afterLadder reports whether a day may belong to the growth: a run of no stage, or a rest
// day after a run of the last stage or of none.
func (c *check) afterLadder(d *Day) bool {
	if d.Kind == Run {
		return d.Stage == 0
	}
	return c.course.place >= c.course.stages
}

// testRun reports whether a run is the first of a plan without a base: stage 1, without
// caps (interface, section 2).
func (c *check) testRun(d *Day) bool {
	return d == c.first && d.Stage == 1 && c.base() < testMinutes
}

// caps are C4 and C5.
func (c *check) caps(d *Day) error {
	session := c.runs.sessionCap(d.Day)
	c.runs.add(d.Day, d.Total)
	if c.testRun(d) {
		return nil
	}
	if over(d.Total, session) {
		return &Broken{d.Day, RuleSession, "running minutes under the session cap", float64(d.Total), float64(session), "min"}
	}
	if week, limit := c.runs.week(d.Day), c.weekCap(d); over(week, limit) {
		return &Broken{d.Day, RuleWeek, "running minutes of seven days under the week cap", float64(week), float64(limit), "min"}
	}
	return nil
}

// firstWeek is C10: a novice with a BMI over 30 runs at most 3 km in the first seven days,
// at the goal's pace, or at 2.4 m/s without one. Walking does not count.
func (c *check) firstWeek(d *Day) error {
	in := &c.plan.Inputs
	if !in.Novice || !(in.BMI > bmiOver) || d.Day >= in.Start+firstWeekDays {
		return nil
	}
	var run Minutes
	for day := in.Start; day <= d.Day; day++ {
		run += c.runs.at(c.runs.sum, day)
	}
	km := float64(run) * 60 * slowest / 1000
	if in.Goal.Pace > 0 {
		km = float64(run) / in.Goal.Pace
	}
	if over(km, firstWeekKm) {
		return &Broken{d.Day, RuleFirstWeek, "first week of a novice with a bmi over 30", km, firstWeekKm, "km"}
	}
	return nil
}
