package load

import (
	"cmp"
	"fmt"
	"slices"
)

// The ages, in days, of the sessions that limits are grown from: young enough
// to be remembered, old enough to have been answered by a week.
const (
	youngest    = 7
	oldest      = 30
	weekOldest  = 34
	growthWeeks = 3    // after which one week does not grow
	grewShare   = 1.05 // a week grew if it is this much over the one before
)

// base is what a limit grows from.
type base struct {
	amount  Amount
	grows   bool // false while an unsettled run is the largest in it
	defined bool
}

// longestHeld returns the longest counted length of the sessions that are 7 to
// 30 days old.
func (h *History) longestHeld(day Day) base {
	best := base{grows: true}
	for _, b := range h.between(day-oldest, day-youngest) {
		if c := b.countedFinal(); c > best.amount && !b.estimated {
			best = base{amount: c, grows: b.verdict != Unsettled, defined: true}
		}
	}
	return best
}

// grown adds the growth of a session or a day: a share, or the least that
// counts, whichever is more.
func (h *History) grown(day Day, from base) Amount {
	if !from.grows {
		return from.amount
	}
	set := h.in.Settings.On(day)
	least := h.pick(set.SessionKM, set.SessionMin)
	return from.amount + max(share(from.amount, set.SessionShare), least)
}

// pick returns the distance or the time, whichever the measure counts in.
func (h *History) pick(km, minutes float64) Amount {
	if h.measure == Distance {
		return h.measure.Of(km)
	}
	return h.measure.Of(minutes)
}

// share returns a part of an amount, rounded down.
func share(a Amount, part float64) Amount { return Amount(float64(a) * part) }

func (h *History) sessionLimit(day Day, longest base) Limit {
	return Limit{
		Rule: LimitSession, Limit: h.grown(day, longest),
		Why: fmt.Sprintf("the longest held run 7 to 30 days old is %s", h.format(longest.amount)),
	}
}

func (h *History) dayLimit(day Day, today Amount) Limit {
	best := base{grows: true}
	for d := max(h.first, day-oldest); d <= day-youngest; d++ {
		if sum := h.countedTotal(d); sum > best.amount {
			best = base{amount: sum, grows: !h.ledByUnsettled(d, d)}
		}
	}
	return Limit{
		Rule: LimitDay, Value: today, Limit: h.grown(day, best),
		Why: fmt.Sprintf("the best held day 7 to 30 days ago is %s", h.format(best.amount)),
	}
}

// ledByUnsettled reports whether the longest run of the days is an unsettled
// one.
func (h *History) ledByUnsettled(first, last Day) bool {
	var longest Amount
	led := false
	for _, b := range h.between(first, last) {
		if c := b.countedFinal(); c > longest {
			longest, led = c, b.verdict == Unsettled
		}
	}
	return led
}

// bestWeek returns the best seven-day sum of counted lengths that ended 7 to 34
// days before day. Only weeks that lie within the history count: half a week of
// a beginner is no week to hold the next against.
func (h *History) bestWeek(day Day) base {
	best, end := h.bestSum(day)
	best.grows = best.defined && !h.ledByUnsettled(end-weekDays+1, end)
	return best
}

// bestSum is bestWeek without asking whether it may grow, and its last day.
func (h *History) bestSum(day Day) (best base, end Day) {
	for e := max(day-weekOldest, h.first+weekDays-1); e <= day-youngest; e++ {
		i := int(e-h.first) + 1
		if sum := h.counted[i] - h.counted[i-weekDays]; !best.defined || sum > best.amount {
			best, end = base{amount: sum, defined: true}, e
		}
	}
	return best, end
}

// weekCeiling grows a week: by its share, no more than the most and no less than
// the least, and not at all after three weeks that grew.
func (h *History) weekCeiling(day Day, from base) Amount {
	if !from.grows || h.grewThreeWeeks(day) {
		return from.amount
	}
	set := h.in.Settings.On(day)
	most := h.pick(set.WeekMostKM, set.WeekMostMin)
	least := h.pick(set.WeekKM, set.WeekMin)
	return from.amount + max(min(share(from.amount, set.WeekShare), most), least)
}

func (h *History) weekLimit(day Day, run Amount, from base) Limit {
	return Limit{
		Rule: LimitWeek, Value: run, Limit: h.weekCeiling(day, from),
		Why: fmt.Sprintf("the best held week that ended 7 to 34 days ago is %s", h.format(from.amount)),
	}
}

// grewThreeWeeks reports whether each of the three weeks before the current one
// stood more than 5 % over the one before it.
func (h *History) grewThreeWeeks(day Day) bool {
	for week := Day(1); week <= growthWeeks; week++ {
		i := int(day - 7*week - h.first)
		if i-weekDays-weekDays+1 < 0 {
			return false
		}
		if float64(h.week(i)) <= grewShare*float64(h.week(i-weekDays)) {
			return false
		}
	}
	return true
}

// stepIn is the limit with nothing to go by: some easy minutes.
func (h *History) stepIn(day Day, today Amount, why string) Limit {
	set := h.in.Settings.On(day)
	limit := Time.Of(set.StepInMin)
	if h.measure == Distance {
		limit = Distance.Of(set.StepInMin * 60 * set.StepInMPS / 1000)
	}
	return Limit{Rule: LimitBreak, Value: today, Limit: limit, Why: why + fmt.Sprintf(": %g min easy", set.StepInMin)}
}

// breakLimit is what a break still forgives, whichever leaves least: some easy
// minutes after more than four weeks or with nothing to go by, else a part of
// the median session, of the median day and of the best week before it.
func (h *History) breakLimit(day Day, today Amount, before Instant, nothing bool) Limit {
	state := h.breakOn(day)
	var limits []Limit
	switch {
	case state.class == lapsedBreak:
		limits = append(limits, h.stepIn(day, today, fmt.Sprintf("more than %d days without a run", lapsedBreakDays-1)))
	case nothing:
		limits = append(limits, h.stepIn(day, today, "no run 7 to 30 days ago carries a limit"))
	}
	if state.class == shortBreak || state.class == longBreak {
		limits = append(limits, h.forgiven(state, day, today, before)...)
	}
	return slices.MinFunc(limits, func(a, b Limit) int { return cmp.Compare(a.Room(), b.Room()) })
}

// forgiven are the parts of what was run before a break of up to four weeks.
func (h *History) forgiven(state breakState, day Day, today Amount, before Instant) []Limit {
	set := h.in.Settings.On(day)
	part, week := 1.0, set.BreakWeekShare
	if state.class == longBreak {
		part, week = set.LongBreakShare, set.LongBreakShare
	}
	session, total := h.mediansBefore(state.base)
	limits := []Limit{
		{LimitBreak, 0, share(session, part), "the median run of the 28 days before the break is " + h.format(session)},
		{LimitBreak, today, share(total, part), "the median day with a run before the break is " + h.format(total)},
	}
	if best := h.bestWeek(state.base); best.defined {
		why := "the best held week before the break is " + h.format(best.amount)
		limits = append(limits, Limit{LimitBreak, h.weekBefore(day, before), share(best.amount, week), why})
	}
	return limits
}

// mediansBefore returns the median counted length of the sessions, and of the
// days with runs, in the 28 days up to last, on which there was a run.
func (h *History) mediansBefore(last Day) (session, total Amount) {
	var sessions, totals []Amount
	for d := max(h.first, last-chronicDays+1); d <= last; d++ {
		for _, b := range h.on(d) {
			sessions = append(sessions, b.countedFinal())
		}
		if len(h.on(d)) > 0 {
			totals = append(totals, h.countedTotal(d))
		}
	}
	return medianAmount(sessions), medianAmount(totals)
}

// The days after a race over the limits (project default): none at all, then
// half of the longest held run.
const (
	raceHeldDays = 3
	raceHalfDays = 7
)

// raceLimits hold a runner back after a race that was over the limits of its
// day.
func (h *History) raceLimits(day Day) (limits []Limit) {
	for _, b := range h.between(day-raceHeldDays-raceHalfDays, day-1) {
		longest := h.longestHeld(b.day)
		if !b.race || b.amount <= h.grown(b.day, longest) {
			continue
		}
		if day-b.day <= raceHeldDays {
			limits = append(limits, Limit{Rule: LimitRace, Why: fmt.Sprintf("the race of %s was over the limits: held for %d days", b.day, raceHeldDays)})
			continue
		}
		limits = append(limits, Limit{
			Rule: LimitRace, Limit: longest.amount / 2,
			Why: fmt.Sprintf("after the race of %s half of the longest held run", b.day),
		})
	}
	return limits
}

// format writes an amount in the measure's unit, to one decimal.
func (h *History) format(a Amount) string {
	return fmt.Sprintf("%.1f %s", h.measure.In(a), h.measure.Unit())
}
