package ramp

import "tidemark/load"

// growth is what comes after the ladder: one longer run a week, the others well below it
// (model 9).
type growth struct {
	on    bool
	from  load.Day
	rungs []Minutes // lengths of the long run so far, the ladder's first
	at    int
	week  int     // whose long run was done, from 1
	long  Minutes // of it
}

func (g *growth) begin(ladder []Stage, from load.Day) {
	*g = growth{on: true, from: from}
	for _, s := range ladder {
		if n := len(g.rungs); n == 0 || s.Total() > g.rungs[n-1] {
			g.rungs = append(g.rungs, s.Total())
		}
	}
	g.at = len(g.rungs) - 1
}

// weekOf returns the week of the growth that a day lies in, from 1.
func (g *growth) weekOf(d load.Day) int { return int(d-g.from)/7 + 1 }

// grow sets the run of a day after the ladder: the first of a week is the long one.
func (p *planner) grow(day *Day, t *turn) {
	g := &p.growth
	week := g.weekOf(day.Day)
	t.rung, t.adds = g.rungs[g.at], p.addsOn(day.Day)
	if t.adds > 0 {
		day.Adds = p.adds.order[t.adds-1]
	}
	var total Minutes
	switch {
	case week == g.week:
		total = Minutes(GrowthOther * float64(min(g.long, t.rung)))
	case week%growthEvery == 0:
		t.long = true
		total = Minutes(GrowthEasy * float64(t.rung))
	default:
		t.long = true
		if t.adds == 0 && p.settled >= DwellRuns && p.held(day.Day) == "" {
			t.rung = p.longer(t.rung)
		}
		p.binds.add("C4", p.week(day.Day))
		total = t.rung
	}
	limit := day.Session
	if t.adds > 0 {
		limit = min(limit, p.longest(day.Day))
	}
	if _, frozen := StopOn(p.in.Frozen, day.Day); frozen {
		limit = min(limit, p.book.longestBefore(day.Day))
	}
	if total = min(total, limit); total < t.rung {
		total = wholeMinutes(total)
	}
	t.full = t.long && p.reaches(total, t.rung)
	day.Reps, day.Run, day.Total = 1, total, total
}

// longer returns what a long run may grow to in whole minutes: by C4, and to no more than
// the goal.
func (p *planner) longer(rung Minutes) Minutes {
	next := wholeMinutes(grownBy(rung))
	if p.in.Goal.Km > 0 {
		next = min(next, max(rung, p.in.Goal.minutes()))
	}
	return next
}

// takeLong enters the long run of a week.
func (p *planner) takeLong(day *Day, t turn) {
	g := &p.growth
	g.week, g.long = g.weekOf(day.Day), day.Total
	if t.rung <= g.rungs[g.at] {
		return
	}
	day.Reason += p.say("; grown from %s min after %d settled mornings", inWords(g.rungs[g.at]), p.settled)
	g.rungs = append(g.rungs[:g.at+1], t.rung)
	g.at++
	p.settled = 0
}
