package ramp

import (
	"fmt"
	"slices"
	"strings"

	"tidemark/load"
)

// binds keeps in which weeks a rule kept the plan from going on faster.
type binds struct {
	rules []string
	weeks map[string][]int
}

func (b *binds) add(rule string, week int) {
	if b.weeks == nil {
		b.weeks = map[string][]int{}
	}
	w, ok := b.weeks[rule]
	if !ok {
		b.rules = append(b.rules, rule)
	}
	if len(w) == 0 || w[len(w)-1] != week {
		b.weeks[rule] = append(w, week)
	}
}

var bindWords = map[string]string{
	"C1": "C1, rest days between runs", "C3": "C3, two settled runs of each stage", "C4": "C4, session cap", "C5": "C5, weekly cap",
	"C10": "C10, first week", "frequency": "C2, frequency first", "free": "days that are not free", "pause": "pause after flared mornings",
	"flared": "flared mornings", "hold": "hold", "stop": "days on which nothing may be run", "other": "no stage up by itself at this site", "end": "the plan has ended", "confirm": "stages up wait for whoever is in charge",
}

// words lists the rules with their weeks up to one.
func (b *binds) words(last int) string {
	var out []string
	for _, rule := range slices.Sorted(slices.Values(b.rules)) {
		if spans := weekSpans(b.weeks[rule], last); spans != "" {
			out = append(out, bindWords[rule]+" (weeks "+spans+")")
		}
	}
	return strings.Join(out, "; ")
}

// weekSpans writes 1, 2, 3, 7 as 1-3, 7.
func weekSpans(weeks []int, last int) string {
	var out []string
	for i := 0; i < len(weeks) && weeks[i] <= last; {
		j := i
		for j+1 < len(weeks) && weeks[j+1] == weeks[j]+1 && weeks[j+1] <= last {
			j++
		}
		if span := fmt.Sprint(weeks[i]); i == j {
			out = append(out, span)
		} else {
			out = append(out, fmt.Sprintf("%s-%d", span, weeks[j]))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}

// answerGoal finds the day on which the goal is reached if all mornings from now on are
// settled, and says what sets it. Without a goal every plan is feasible.
func (p *planner) answerGoal(plan *Plan) {
	g := p.in.Goal
	if g.Km == 0 {
		plan.Feasible = true
		return
	}
	want := g.minutes()
	goal := fmt.Sprintf("goal of %g km: %s min in one run at %s per km", g.Km, inWords(want), paceWords(g.Pace))
	if longest := p.longestBefore(); want <= longest+hair {
		p.tell("%s; the longest run of the %d days before the start had %s min already", goal, SessionDays, inWords(longest))
	}
	at, found := p.reach(plan.Days, want)
	if !found {
		p.tell("%s: not reached in %d weeks; what binds: %s", goal, max(horizonWeeks, p.in.Weeks), p.binds.words(max(horizonWeeks, p.in.Weeks)))
		return
	}
	plan.Earliest = at
	plan.Feasible = !g.IsBy || at <= g.By
	words := fmt.Sprintf("%s: %v at the earliest", goal, at)
	if at >= p.in.Start+load.Day(7*p.in.Weeks) {
		words += fmt.Sprintf(", after the %d weeks of the plan", p.in.Weeks)
	}
	if !plan.Feasible {
		words += fmt.Sprintf(", not by %v", g.By)
	}
	p.tell("%s; what binds: %s", words, p.binds.words(p.week(at-1)))
}

// minutes returns the time that the goal takes.
func (g *Goal) minutes() Minutes { return Minutes(g.Km * g.Pace) }

// longestBefore returns the longest run that the first session cap grows from.
func (p *planner) longestBefore() Minutes {
	return p.book.longestBefore(p.in.Start)
}

// reach returns the first day with a run that is as long without a walk, planning on
// beyond the days that are shown.
func (p *planner) reach(days []Day, want Minutes) (at load.Day, found bool) {
	for _, d := range days {
		if d.Run >= want-hair {
			return d.Day, true
		}
	}
	p.quiet = true
	for d := p.in.Start + load.Day(len(days)); d < p.in.Start+7*horizonWeeks && p.ended == ""; d++ {
		if day := p.next(d); day.Run >= want-hair {
			return d, true
		}
	}
	return 0, false
}

func paceWords(pace float64) string {
	s := int(pace*60 + 0.5)
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}
