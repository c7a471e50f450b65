package ramp

import (
	"fmt"
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/rehab"
)

// newPlanner stands on the morning of the start.
func newPlanner(in *Inputs) *planner {
	site, err := rehab.FindSite(in.Site)
	if err != nil {
		panic(err) // Check has seen it
	}
	days := 7 * in.Weeks
	if in.Goal.Km > 0 {
		days = 7 * max(in.Weeks, horizonWeeks)
	}
	p := &planner{
		in: in, site: site, zones: rehab.DefaultZones, ladder: in.stages(), book: newBook(in.Start, days+1),
		done: map[load.Day][]Minutes{}, answers: byDate(in.Mornings), resting: byDate(in.Resting),
		stage: 1, gap: site.Gap, adds: adding{order: in.additions()},
	}
	for _, m := range slices.Concat(in.Mornings, in.Resting) {
		p.lastSaid = max(p.lastSaid, m.Day)
	}
	p.median.scores = make([]scored, len(p.book.run)+1)
	p.recall()
	p.begin()
	p.warn()
	return p
}

func byDate(mornings []rehab.Morning) map[load.Day]*rehab.Morning {
	out := make(map[load.Day]*rehab.Morning, len(mornings))
	for i := range mornings {
		out[mornings[i].Day] = &mornings[i]
	}
	return out
}

// recall goes through the days before the start: what was run, and what the mornings said.
func (p *planner) recall() {
	for _, r := range p.in.Past {
		p.done[r.Day] = append(p.done[r.Day], r.Run)
	}
	for d := p.book.origin; d < p.in.Start; d++ {
		p.wake(d)
		if len(p.done[d]) == 0 {
			p.look(d + 1)
			continue
		}
		for _, run := range p.done[d] {
			p.book.add(d, run)
		}
		p.last, p.hasRun, p.extra = d, true, 0
		p.wide = max(0, p.wide-1)
		p.look(d + 1)
		if m := p.answers[d+1]; m != nil {
			p.recallMorning(m)
		}
	}
	p.book.base = p.book.sum[p.book.at(p.in.Start-1)]
}

// recallMorning lets a morning before the start act on the spacing and the brakes; there
// is no stage yet.
func (p *planner) recallMorning(m *rehab.Morning) {
	j := rehab.Judge(m, p.in.baseOn(m.Day), true, false, p.zones)
	p.freeze.morning(m.Day, j.Verdict, m.Next != nil && !m.Late)
	switch j.Verdict {
	case load.Flared:
		p.flare(m.Day)
	case load.Unsettled:
		p.extra = 1
		p.bad++
	case load.Settled:
		p.bad = 0
	}
}

// begin chooses the first stage: the highest whose running is at most the longest run of
// the days before that no morning spoke against.
func (p *planner) begin() {
	var longest, tolerated Minutes
	for _, r := range p.in.Past {
		if r.Day < p.in.Start-StartDays || r.Day >= p.in.Start {
			continue
		}
		longest = max(longest, r.Run)
		m := p.answers[r.Day+1]
		if m == nil || rehab.Judge(m, p.in.baseOn(m.Day), true, false, p.zones).Verdict == load.Settled {
			tolerated = max(tolerated, r.Run)
		}
	}
	for i, s := range p.ladder {
		if s.Total() <= tolerated+hair {
			p.stage = i + 1
		}
	}
	if p.known {
		p.stage = 1
		p.tell("the flares before the start are known to whoever set it; it begins at the first stage unless a person says otherwise")
	}
	if p.in.First > 0 {
		p.stage = p.in.First
		p.tell("stage %d to begin with, as a person set it", p.stage)
	}
	p.first = p.stage
	if p.in.Confirm {
		p.tell("stages go up to %s; beyond it somebody in charge has to say so", StepWords(p.in, p.roofOn(p.lastRoof())))
	}
	least := p.ladder[0].Total()
	if p.test = longest < least-hair; p.test {
		p.tell("the first run is a test run, exempt from the session cap and the weekly cap: no run of %s min or more in the %d days before the start", inWords(least), StartDays)
	}
	if len(p.flares) > 0 && p.flares[len(p.flares)-1].Last >= p.in.Start-StartDays {
		p.tell("the morning of %v flared, before the start", p.flares[len(p.flares)-1].Last)
	}
}

// lastRoof returns the day up to which is known how far stages go up: the first that is not
// missed.
func (p *planner) lastRoof() load.Day {
	day := p.in.Start
	for _, s := range p.in.Missed {
		if s.Holds(day) {
			day = s.Last + 1
		}
	}
	return day
}

// warn says what of the inputs binds the whole plan.
func (p *planner) warn() {
	for _, s := range p.in.Stops {
		p.tell("nothing is run from %v to %v: %s", s.First, s.Last, s.Why)
	}
	for _, s := range p.in.Frozen {
		p.tell("nothing grows from %v to %v: %s", s.First, s.Last, s.Why)
	}
	if p.site.Site == rehab.Other {
		p.tell("a site that is not in the list: no stage is advanced by itself")
	}
	if p.in.Base.Pain > p.zones.Settled {
		p.tell("the usual morning score of %g is above %g: stages are repeated, none is advanced", p.in.Base.Pain, p.zones.Settled)
	}
	if p.heavyNovice() {
		pace := ""
		if p.in.Goal.Pace == 0 {
			pace = " at an assumed pace"
		}
		p.tell("first week: at most %g km of running, %s min%s (body mass index %g > %g, novice)", FirstWeekKm, inWords(p.firstWeek()), pace, p.in.BMI, FirstWeekBMI)
	}
}

func (p *planner) heavyNovice() bool { return p.in.Novice && p.in.BMI > FirstWeekBMI }

// firstWeek returns the minutes of running that the first week may have (C10).
func (p *planner) firstWeek() Minutes {
	if !p.heavyNovice() {
		return MostRun * 7
	}
	pace := p.in.Goal.Pace
	if pace == 0 {
		pace = paceUnsaid
	}
	return Minutes(FirstWeekKm * pace)
}

// ranSince returns what was run from the start up to a day.
func (p *planner) ranSince(d load.Day) (sum Minutes) {
	for _, run := range p.book.run[p.book.at(p.in.Start) : p.book.at(d)+1] {
		sum += run
	}
	return sum
}

func (p *planner) tell(format string, args ...any) {
	p.reasons = append(p.reasons, fmt.Sprintf(format, args...))
}

// unasked names the mornings that answer no run of the plan, and leaves them out of what
// comes after it.
func (p *planner) unasked() {
	var none []string
	end := p.in.Start + load.Day(7*p.in.Weeks)
	for _, m := range p.in.Mornings {
		i := p.book.at(m.Day - 1)
		before := m.Day <= p.in.Start && len(p.done[m.Day-1]) > 0
		if before || i >= lead && m.Day-1 < end && p.book.run[i] > 0 {
			continue
		}
		none = append(none, (m.Day - 1).String())
		delete(p.answers, m.Day)
	}
	if len(none) > 0 {
		slices.Sort(none)
		p.tell("no run, and what was said of it is left out: %s", strings.Join(none, ", "))
	}
}
