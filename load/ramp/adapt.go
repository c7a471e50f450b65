package ramp

import (
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// answer lets the morning after a run act on what comes next (rehab reference 5.5).
func (p *planner) answer(day *Day, t turn) {
	date := day.Day + 1
	j := rehab.Judgement{Verdict: load.Settled, Advances: p.in.baseOn(date).Pain <= p.zones.Settled, Rule: rehab.RuleNone}
	m := p.answers[date]
	if m != nil {
		j = rehab.Judge(m, p.in.baseOn(date), true, false, p.zones)
	}
	p.freeze.morning(date, j.Verdict, m == nil || m.Next != nil && !m.Late)
	day.Verdict = j.Verdict
	if t.unplanned && !j.Verdict.Bad() {
		day.Verdict = load.Unsettled
	}
	var words string
	switch day.Verdict {
	case load.Flared:
		day.Action, words = p.flare(date)
	case load.Unsettled:
		day.Action, words = p.unsettled(t, j.Verdict.Bad())
	case load.Missing:
		day.Action, words = p.missing(date)
	default:
		p.bad = 0
		day.Action, words = p.settle(day, t, j)
	}
	if !p.quiet {
		day.Reason += fmt.Sprintf("; %s%s: %s", verdictWords[day.Verdict], inBrackets(j, t), words)
	}
}

var verdictWords = map[load.Verdict]string{load.Settled: "settled", load.Unsettled: "unsettled", load.Flared: "flared", load.Missing: "missing"}

func inBrackets(j rehab.Judgement, t turn) string {
	switch {
	case j.Rule != rehab.RuleNone:
		return " (" + because(j) + ")"
	case t.unplanned:
		return " (a run that was not planned)"
	}
	return ""
}

// because says what decided a verdict: rule, value and limit.
func because(j rehab.Judgement) string {
	sign := ">"
	switch j.Rule {
	case rehab.RuleNoScore:
		return "no score of the next morning on time"
	case rehab.RuleLimp:
		return "limping"
	case rehab.RuleRise:
		sign = ">=" // the rise itself is a flare
	}
	return fmt.Sprintf("%s %g %s %g", j.Rule, j.Value, sign, j.Limit)
}

// flare takes a morning that flared: rest, a stage back, wide spacing; with others before
// it a pause, or the end.
func (p *planner) flare(date load.Day) (Action, string) {
	p.flared(date)
	p.withdraw()
	where := p.back(1)
	words := p.say("%s, at least %d rest days and back to the baseline, then %d rest days between for %d runs", where, FlaredGap, FlaredGap, FlaredRuns)
	ends, pauses := p.flaresIn(EndWithin) >= EndFlares, p.flaresIn(PauseWithin) >= PauseFlares
	switch {
	case p.in.Reviewed && p.flares[len(p.flares)-1].First < p.in.Start:
		p.known = p.known || ends || pauses
	case ends:
		p.finish(date, "%d flared mornings in %d days: a review comes first", EndFlares, EndWithin)
		return End, p.ended
	case pauses:
		p.pausing = date + PauseDays
		if !p.quiet {
			p.tell("no running from %v to %v: %d flared mornings in %d days; ask for a review", date, p.pausing-1, PauseFlares, PauseWithin)
		}
		return Pause, p.say("%d in %d days, no running for %d days, ask for a review; %s", PauseFlares, PauseWithin, PauseDays, words)
	}
	return Back, words
}

// flared enters a morning that flared.
func (p *planner) flared(date load.Day) {
	ran := p.book.at(date) > 0 && p.book.run[p.book.at(date-1)] > 0
	p.woke = append(p.woke, rehab.Woke{Day: date, Ran: ran, Flared: true})
	p.flares = rehab.Flares(p.woke)
	p.wide, p.inARow, p.healing, p.unwell = FlaredRuns, 0, true, false
	if p.pausing > date {
		p.pausing = date + PauseDays
	}
}

// flaresIn counts the flares of the days that end with the last one; those that were
// reviewed only where it is one of them.
func (p *planner) flaresIn(days load.Day) int {
	flares := p.flares
	if p.in.Reviewed && flares[len(flares)-1].First >= p.in.Start {
		flares = slices.DeleteFunc(slices.Clone(flares), func(f rehab.Flare) bool { return f.First < p.in.Start })
	}
	return rehab.FlaresIn(flares, days)
}

// back goes so many stages back, to the first at most, and begins to count anew.
func (p *planner) back(stages int) string {
	p.anew()
	if p.growth.on {
		if undone := p.takeOut(stages); undone > 0 {
			if stages -= undone; stages == 0 {
				return p.say("%s out again", additionWords[p.adds.order[p.adds.at]])
			}
		}
		p.growth.at = max(0, p.growth.at-stages)
		return p.say("back to %s min", inWords(p.growth.rungs[p.growth.at]))
	}
	p.stage = max(1, p.stage-stages)
	return p.say("back to stage %d", p.stage)
}

// withdraw takes back a stage up that was not run yet: what is repeated, or gone back
// from, is the stage of the last run.
func (p *planner) withdraw() {
	switch {
	case !p.up:
		return
	case p.growth.on:
		p.growth.on = false
	default:
		p.stage--
	}
	p.up = false
}

// unsettled takes an unsettled run; by is whether the morning itself was bad, or the run was
// only one that the plan did not have.
func (p *planner) unsettled(t turn, by bool) (Action, string) {
	p.withdraw()
	p.anew()
	p.inARow = 0
	p.bad++
	rest := p.say("one rest day more before the next run")
	p.extra = 1
	if t.unplanned {
		p.wide = max(1, p.wide)
		rest = p.say("%d rest days before the next run", FlaredGap+1)
	}
	if !by {
		p.extra = 0
		rest = p.say("%d rest days before the next run", FlaredGap)
	}
	if p.bad >= 2 {
		return Back, p.say("the second running, %s, %s", p.back(1), rest)
	}
	return Repeat, p.say("the same again, %s", rest)
}

func (p *planner) missing(date load.Day) (Action, string) {
	if why := p.held(date); why != "" {
		return Hold, p.say("it counts as load only; %s", why)
	}
	return Go, p.say("it counts as load only")
}

// settle takes a settled run: first the gap comes down, then the stage goes up.
func (p *planner) settle(day *Day, t turn, j rehab.Judgement) (Action, string) {
	switch {
	case !t.counts:
		return Go, p.say("it counts as load only")
	case j.Partial:
		return Go, p.say("not all was said, it moves nothing on")
	case !j.Advances:
		return Repeat, p.say("the usual score of %g is above %g, the stage is repeated", p.in.Base.Pain, p.zones.Settled)
	}
	p.settled++
	p.waits = false
	held := p.held(day.Day + 1)
	if p.gap > p.site.Settled {
		return p.closer(day, held)
	}
	switch {
	case p.site.Site == rehab.Other:
		p.binds.add("other", p.week(day.Day))
		return Go, p.say("%d of this stage, no stage up by itself at this site", p.settled)
	case p.growth.on:
		return p.settleAfter(day, t, held)
	case p.settled < DwellRuns:
		p.binds.add("C3", p.week(day.Day))
		return Go, p.say("%d of %d of this stage", p.settled, DwellRuns)
	case held != "":
		p.binds.add("hold", p.week(day.Day))
		return Hold, held
	case p.stage >= p.roofOn(day.Day+1):
		p.binds.add("confirm", p.week(day.Day))
		day.Waits, p.waits = p.stage+1, true
		return Hold, p.say("%d of %d of this stage; the next waits for whoever is in charge", DwellRuns, DwellRuns)
	}
	if p.ascend(day.Day + 1) {
		return Advance, p.say("%d of %d of the last stage, next one longer run a week", DwellRuns, DwellRuns)
	}
	return Advance, p.say("%d of %d of this stage, next stage %d", DwellRuns, DwellRuns, p.stage)
}

// ascend goes a stage up; top: that was the last, and from a day on it grows without.
func (p *planner) ascend(from load.Day) (top bool) {
	p.settled, p.waits, p.up = 0, false, true
	if p.stage < len(p.ladder) {
		p.stage++
		return false
	}
	p.growth.begin(p.ladder, from)
	p.tellAdditions()
	return true
}

// roofOn returns the highest stage on a day.
func (p *planner) roofOn(day load.Day) int {
	if !p.in.Confirm {
		return MostRoof(len(p.ladder))
	}
	return max(p.in.RoofOn(day), p.first)
}

// reopen lets what was said since the last run act on the stage of the next: one that waited
// may begin, and while nothing grows one that was not run yet does not.
func (p *planner) reopen(d load.Day) {
	_, frozen := StopOn(p.in.Frozen, d)
	switch {
	case frozen && p.up:
		p.withdraw()
		p.settled = DwellRuns
	case p.waits && p.settled >= DwellRuns && p.roofOn(d) > p.stage && p.held(d) == "":
		p.ascend(d)
		p.note = "allowed since it was last run, "
	}
}

// closer takes a settled run while the gap is wide: frequency comes before stages.
func (p *planner) closer(day *Day, held string) (Action, string) {
	p.inARow++
	p.binds.add("frequency", p.week(day.Day))
	switch {
	case p.inARow < FrequentRuns:
		return Go, p.say("%d of %d in a row, then a rest day less between runs", p.inARow, FrequentRuns)
	case held != "":
		p.binds.add("hold", p.week(day.Day))
		return Hold, held
	}
	p.gap = p.site.Settled
	p.settled, p.inARow = 0, 0
	return GapDown, p.say("%d in a row, from now on %s between runs", FrequentRuns, restDays(p.gap))
}
