package ramp

import (
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// planner goes from day to day: what was run so far, and where the plan stands.
type planner struct {
	in     *Inputs
	site   rehab.SiteInfo
	zones  rehab.Zones
	ladder []Stage
	book   book
	quiet  bool // beyond the days that are shown: no words

	done     map[load.Day][]Minutes // runs from the start on that were done already
	answers  map[load.Day]*rehab.Morning
	resting  map[load.Day]*rehab.Morning
	lastSaid load.Day // latest date of a morning that was said

	stage   int
	first   int  // stage of the beginning
	waits   bool // the next stage, for somebody in charge
	test    bool // the next run is a test run
	up      bool // the stage went up and was not run yet
	settled int  // runs of the stage
	inARow  int  // settled runs in a row, until the gap is down
	bad     int  // unsettled runs with no settled one between
	gap     int  // rest days between runs
	wide    int  // runs to come that want FlaredGap before them
	extra   int  // rest days more before the next run
	last    load.Day
	hasRun  bool
	missed  load.Day // the first day of a run that was due and not done
	isLate  bool
	note    string // for the reason of the next run

	woke    []rehab.Woke // mornings that flared, and those that ended it
	flares  []rehab.Flare
	healing bool     // not back to the baseline since the last
	unwell  bool     // a morning has said so: silence does not end it
	known   bool     // flares before the start would have paused or ended it
	pausing load.Day // no run before it
	ended   string   // why the plan has ended
	freeze  freeze
	median  median
	growth  growth
	adds    adding
	binds   binds
	reasons []string
}

// Make plans the days from the start, one after the other, each as early as the rules
// allow (rehab reference 5.6). Mornings that are not in the inputs are taken as settled.
// It panics if the inputs do not pass their Check.
func Make(in *Inputs) Plan {
	if err := in.Check(); err != nil {
		panic("ramp: Make: " + err.Error())
	}
	p := newPlanner(in)
	plan := Plan{Inputs: *in, Ladder: slices.Clone(p.ladder), Days: make([]Day, 0, 7*in.Weeks)}
	for d := in.Start; d < in.Start+load.Day(7*in.Weeks); d++ {
		plan.Days = append(plan.Days, p.next(d))
	}
	p.unasked()
	p.answerGoal(&plan)
	plan.Reasons = p.reasons
	return plan
}

// next plans one day and lets the morning after it act.
func (p *planner) next(d load.Day) Day {
	woke, flared := p.wake(d)
	day, t := p.planned(d)
	switch runs := p.done[d]; {
	case len(runs) > 0:
		t = p.ranInstead(&day, t, runs)
	case day.Kind == Run && p.isMissed(d):
		p.miss(&day)
	}
	if day.Action = woke; woke != "" {
		day.Reason = flared + "; " + day.Reason
	}
	if day.Kind == Run {
		p.take(&day, t)
	}
	held := p.look(d + 1)
	if day.Kind == Run {
		p.answer(&day, t)
	} else if held != "" {
		day.Action = Hold
	}
	day.Reason += held
	day.Week = p.book.sum[p.book.at(d)]
	return day
}

// turn is what a run of a day is to the plan.
type turn struct {
	counts    bool // as a run of the stage
	unplanned bool // over a cap or on a rest day
	long      bool // the long run of a week after the ladder
	full      bool // and as long as is wanted
	rung      Minutes
	adds      int       // additions that the run has
	runs      []Minutes // that were done, instead of the one that was planned
}

// planned returns the day as the plan has it, whatever was done; while something stands against
// running it is one of rest, and what might have been run is missed.
func (p *planner) planned(d load.Day) (Day, turn) {
	stop, stands := StopOn(p.in.Stops, d)
	if !stands {
		return p.offer(d)
	}
	if rule, _ := p.blocked(d); rule == "" && !p.isLate {
		p.isLate, p.missed = true, d
	}
	p.binds.add("stop", p.week(d))
	return Day{Day: d, Kind: Rest, Session: p.book.session(d), WeekCap: p.weekCap(d), Reason: "rest: " + stop.Why}, turn{}
}

// offer returns the day by the rules alone.
func (p *planner) offer(d load.Day) (Day, turn) {
	p.reopen(d)
	day := Day{Day: d, Kind: Rest, Session: p.book.session(d), WeekCap: p.weekCap(d)}
	rule, why := p.blocked(d)
	t := turn{counts: true}
	if rule == "" {
		if !p.isMissed(d) {
			p.catchUp(d)
			day.WeekCap = p.weekCap(d)
		}
		if p.ended == "" {
			rule, why = p.fit(&day, &t)
		} else {
			rule, why = p.end()
		}
	}
	if rule == "" {
		day.Kind, day.Reason = Run, why
		return day, t
	}
	p.binds.add(rule, p.week(d))
	return Day{Day: d, Kind: Rest, Session: day.Session, WeekCap: day.WeekCap, Reason: why}, turn{}
}

// weekCap returns what seven days may come to.
func (p *planner) weekCap(d load.Day) Minutes {
	limit := p.book.week(d)
	if p.growth.on {
		limit = min(limit, p.book.growth(d))
	}
	if _, frozen := StopOn(p.in.Frozen, d); frozen {
		limit = min(limit, p.book.level(d))
	}
	return limit
}

// blocked says which rule makes a day one of rest whatever the stage, if one does.
func (p *planner) blocked(d load.Day) (rule, why string) {
	rested := int(d-p.last) - 1
	want := p.between()
	if p.wide > 0 {
		want = max(want, FlaredGap)
	}
	want += p.extra
	switch {
	case p.ended != "":
		return p.end()
	case d < p.pausing:
		return "pause", p.say("rest: no running before %v, %d flared mornings in %d days; ask for a review", p.pausing, PauseFlares, PauseWithin)
	case p.healing:
		return "flared", p.say("rest: not back to the baseline since the flared morning of %v", p.flares[len(p.flares)-1].Last)
	case p.hasRun && rested < want:
		return "C1", p.say("rest: spacing, %s of %d", restDays(rested), want)
	case len(p.flares) > 0 && d < p.flares[len(p.flares)-1].Last+FlaredGap:
		last := p.flares[len(p.flares)-1].Last
		return "flared", p.say("rest: flared on the morning of %v, %s of %d", last, restDays(int(d-last)), FlaredGap)
	case !p.in.Free[d.Weekday()]:
		return "free", p.say("rest: %v is not free", d.Weekday())
	}
	return "", ""
}

func restDays(n int) string {
	if n == 1 {
		return "1 rest day"
	}
	return fmt.Sprintf("%d rest days", n)
}

func (p *planner) end() (rule, why string) { return "end", "rest: the plan has ended, " + p.ended }

// finish ends the plan.
func (p *planner) finish(d load.Day, format string, args ...any) {
	p.ended = fmt.Sprintf(format, args...)
	if !p.quiet {
		p.reasons = append(p.reasons, fmt.Sprintf("the plan ends on %v: %s", d, p.ended))
	}
}

// fit sets the run of a day, or says which rule leaves no room for it.
func (p *planner) fit(day *Day, t *turn) (rule, why string) {
	note := p.note
	if p.growth.on {
		p.grow(day, t)
	} else {
		p.climb(day)
	}
	if day.Total < p.ladder[0].Total()-hair {
		p.finish(day.Day, "no stage fits the session cap of %s min: a new test run begins a new plan", inWords(day.Session))
		return p.end()
	}
	sum := p.book.sum[p.book.at(day.Day)] + day.Total
	if limit := p.firstWeek(); day.Day < p.in.Start+7 && p.ranSince(day.Day)+day.Total > limit+hair {
		return "C10", p.say("rest: first week, %s min > %s min", inWords(p.ranSince(day.Day)+day.Total), inWords(limit))
	}
	if sum > day.WeekCap+hair && !p.test {
		return "C5", p.say("rest: weekly cap, %s min > %s min", inWords(sum), inWords(day.WeekCap))
	}
	if p.test {
		return "", p.say("test run: stage %d, %s min, the session cap and the weekly cap do not bind it", day.Stage, inWords(day.Total))
	}
	name := "after the ladder"
	switch {
	case day.Stage > 0:
		name = fmt.Sprintf("stage %d", day.Stage)
	case day.Adds != "":
		name += ", with " + additionWords[day.Adds]
	}
	return "", p.say("run: %s%s, %s min <= session cap %s min, week %s min <= weekly cap %s min",
		note, name, inWords(day.Total), inWords(day.Session), inWords(sum), inWords(day.WeekCap))
}

// climb sets the stage, or the highest below it that fits the session cap.
func (p *planner) climb(day *Day) {
	limit := day.Session
	if p.test {
		limit = p.ladder[0].Total()
	}
	if day.Day < p.in.Start+7 {
		limit = min(limit, max(p.firstWeek(), p.ladder[0].Total()))
	}
	n := p.stage
	for n > 0 && p.ladder[n-1].Total() > limit+hair {
		n--
	}
	if n == 0 {
		return
	}
	s := p.ladder[n-1]
	day.Stage, day.Reps, day.Run, day.Walk, day.Total = n, s.Reps, s.Run, s.Walk, s.Total()
}

// take enters the run of a day.
func (p *planner) take(day *Day, t turn) {
	if p.isLate {
		p.catchUp(day.Day)
	}
	if day.Stage > 0 && day.Stage < p.stage {
		p.stage, p.settled = day.Stage, 0
		day.Reason += p.say("; the highest stage that fits")
	}
	if t.long && t.counts {
		p.takeLong(day, t)
	}
	if t.adds > 0 && t.counts {
		p.add(day, t.adds)
	}
	if t.runs == nil {
		t.runs = []Minutes{day.Total}
	}
	for _, run := range t.runs {
		p.book.add(day.Day, run)
	}
	p.last, p.hasRun, p.extra, p.test, p.note = day.Day, true, 0, false, ""
	if t.counts {
		p.up = false
	}
	p.wide = max(0, p.wide-1)
}

// say formats words, unless nobody will read them.
func (p *planner) say(format string, args ...any) string {
	if p.quiet {
		return ""
	}
	return fmt.Sprintf(format, args...)
}

// week returns the week of the plan that a day lies in, from 1.
func (p *planner) week(d load.Day) int { return int(d-p.in.Start)/7 + 1 }
