package ramp

import (
	"slices"

	"tidemark/load"
)

// adding is what was added to the runs after the growth, one thing at a time (model 9).
type adding struct {
	order   []Addition
	at      int      // so many are in
	from    load.Day // the first run with the last of them
	begun   bool     // there was one
	reached int      // settled long runs of the wanted length, before the first
	top     Minutes  // no run with an addition is longer
}

// wanted returns the running without a walk that the long run has to reach before anything
// is added; ok is false where nothing ever is.
func (p *planner) wanted() (want Minutes, ok bool) {
	return max(p.in.Goal.minutes(), AdditionFrom), p.in.Goal.Km > 0
}

// reaches reports whether a long run that is planned has the wanted length, and all that
// the growth has come to.
func (p *planner) reaches(total, rung Minutes) bool {
	want, ok := p.wanted()
	return ok && total >= max(want, rung)-hair
}

// due reports whether the next addition may begin with a run of a day, but for holds and
// who has to say so.
func (p *planner) due(d load.Day) bool {
	a := &p.adds
	switch a.at {
	case len(a.order):
		return false
	case 0:
		return a.reached >= DwellRuns
	}
	return a.begun && d >= a.from+AdditionDays && p.settled >= AdditionRuns
}

// allowed reports whether so many additions may be in on a day, where they wait for
// somebody in charge.
func (p *planner) allowed(adds int, d load.Day) bool {
	return !p.in.Confirm || p.aboveLadder(adds) <= p.in.RoofOn(d)
}

// aboveLadder returns so many additions as a roof counts them; none is the growth.
func (p *planner) aboveLadder(adds int) int { return len(p.ladder) + 1 + adds }

// addsOn returns how many additions a run of a day has.
func (p *planner) addsOn(d load.Day) int {
	if p.due(d) && p.held(d) == "" && p.allowed(p.adds.at+1, d) {
		return p.adds.at + 1
	}
	return p.adds.at
}

// longest returns what a run with an addition may come to: it does not grow.
func (p *planner) longest(d load.Day) Minutes {
	if p.adds.at > 0 {
		return p.adds.top
	}
	i := p.book.at(d)
	return slices.Max(p.book.longest[i-SessionDays : i])
}

// add enters a run with additions.
func (p *planner) add(day *Day, adds int) {
	a := &p.adds
	if adds > a.at {
		day.Reason += p.say("; %s", begins[day.Adds])
	}
	if adds == a.at && a.begun {
		return
	}
	top := p.longest(day.Day)
	p.anew()
	a.at, a.from, a.begun, a.top = adds, day.Day, true, top
}

var begins = map[Addition]string{
	RunDays: "from now on a rest day less between runs", Strides: "strides begin", Hills: "hills begin", Speed: "speed begins",
}

// between returns the rest days between runs, without what a bad morning adds.
func (p *planner) between() int {
	if p.adds.at > 0 {
		return max(0, p.gap-1)
	}
	return p.gap
}

// anew begins to count settled runs anew.
func (p *planner) anew() { p.settled, p.adds.reached = 0, 0 }

// takeOut takes the last additions out again and returns how many there were to take.
func (p *planner) takeOut(n int) int {
	n = min(n, p.adds.at)
	p.adds.at -= n
	p.adds.begun = p.adds.begun && n == 0
	return n
}

// settleAfter takes a settled run after the ladder.
func (p *planner) settleAfter(day *Day, t turn, held string) (Action, string) {
	if t.full {
		p.adds.reached++
	}
	switch next := p.adds.at + 1; {
	case !p.due(day.Day + 1):
		return Go, p.soFar() + p.notBefore()
	case held != "":
		p.binds.add("hold", p.week(day.Day))
		return Hold, held
	case !p.allowed(next, day.Day+1):
		p.binds.add("confirm", p.week(day.Day))
		day.Waits = p.aboveLadder(next)
		return Hold, p.say("%s; next %s, once whoever is in charge says so", p.soFar(), StepWords(p.in, day.Waits))
	default:
		return Advance, p.say("%s, next %s", p.soFar(), StepWords(p.in, p.aboveLadder(next)))
	}
}

// soFar says how far the next step is.
func (p *planner) soFar() string {
	switch a := &p.adds; {
	case a.at == 0 && a.reached > 0:
		return p.say("%d of %d of the wanted length", a.reached, DwellRuns)
	case a.at == 0:
		return p.say("%d since the last growth", p.settled)
	case a.at == len(a.order):
		return p.say("%d with all that is added", p.settled)
	default:
		return p.say("%d of %d with %s", min(p.settled, AdditionRuns), AdditionRuns, additionWords[a.order[a.at-1]])
	}
}

// notBefore says from when on more may be added, while something is.
func (p *planner) notBefore() string {
	if a := &p.adds; a.at > 0 && a.at < len(a.order) {
		return p.say(", nothing more before %v", a.from+AdditionDays)
	}
	return ""
}

// tellAdditions says why nothing will be added, if so.
func (p *planner) tellAdditions() {
	want, ok := p.wanted()
	switch top := max(p.in.Goal.minutes(), p.growth.rungs[p.growth.at]); {
	case p.quiet:
	case !ok:
		p.tell("no goal in km: the long run goes on growing, and more run days, strides, hills and speed are not added")
	case top < want-hair:
		p.tell("more run days, strides, hills and speed are not added: the long run goes up to %s min, and they want %s min without a walk", inWords(top), inWords(want))
	}
}
