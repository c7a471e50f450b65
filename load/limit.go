package load

import (
	"cmp"
	"fmt"
	"math"
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
	amount Amount
	grows  bool // false while a run that a morning spoke against is the largest in it
	told   bool // by a newcomer, and seen by nobody: it does not grow
	made   bool // of nothing but three first runs
}

// longestHeld returns the longest counted length of the sessions that are 7 to
// 30 days old. It may not grow while a run that a morning spoke against, by its
// own length, is as long.
func (h *History) longestHeld(day Day) base {
	var best base
	bouts := h.between(day-oldest, day-youngest)
	for i := range bouts {
		if b := &bouts[i]; !b.estimated {
			best.amount = max(best.amount, b.countedFinal())
		}
	}
	best.grows = !h.spokenAgainst(day-oldest, day-youngest, best.amount)
	return best
}

// spokenAgainst reports whether an unsettled or flared run of the days is at
// least so long.
func (h *History) spokenAgainst(first, last Day, length Amount) bool {
	return h.bad && slices.ContainsFunc(h.between(first, last), func(b bout) bool {
		return b.verdict.Bad() && b.amount >= length
	})
}

// larger adds the growth of a session or a day: a share, or the least that
// counts, whichever is more.
func (h *History) larger(day Day, from base) Amount {
	if !from.grows {
		return from.amount
	}
	set := h.in.Settings.on(day)
	least := h.pick(set.SessionKM, set.SessionMin)
	return from.amount + max(share(from.amount, set.SessionShare), least)
}

// pick returns the distance or the time, whichever the measure counts in.
func (h *History) pick(km, minutes float64) Amount {
	if h.measure.IsLength() {
		return h.measure.Of(km)
	}
	return h.measure.Of(minutes)
}

// share returns a part of an amount, rounded down.
func share(a Amount, part float64) Amount { return Amount(float64(a) * part) }

func (h *History) sessionLimit(day Day, longest base) Limit {
	return Limit{
		Rule: LimitSession, Limit: h.larger(day, longest),
		Why: h.longestWords(longest),
	}
}

func (h *History) longestWords(longest base) string {
	if longest.told {
		return "the longest run of the last 30 days, as you said, is " + h.format(longest.amount) + "; it does not grow until it is seen"
	}
	return h.say("the longest held run 7 to 30 days old is %s", h.format(longest.amount)) + noGrowth(longest.grows)
}

// noGrowth says why a limit is no more than what it rests on.
func noGrowth(grows bool) string {
	if grows {
		return ""
	}
	return ", and it does not grow: the morning after spoke against it"
}

func (h *History) dayLimit(day Day, today Amount, longest base) Limit {
	best := base{grows: true}
	for d := max(h.first, day-oldest); d <= day-youngest; d++ {
		sum := h.countedTotal(d)
		grows := !h.ledByBad(d, d)
		switch {
		case sum > best.amount:
			best = base{amount: sum, grows: grows}
		case sum == best.amount:
			best.grows = best.grows && grows
		}
	}
	if longest.told && longest.amount > best.amount {
		return Limit{Rule: LimitDay, Value: today, Limit: longest.amount, Why: h.longestWords(longest)}
	}
	return Limit{
		Rule: LimitDay, Value: today, Limit: h.larger(day, best),
		Why: h.say("the best held day 7 to 30 days ago is %s", h.format(best.amount)) + noGrowth(best.grows),
	}
}

// ledByBad reports whether a run that a morning spoke against is the longest of
// the days, or as long.
func (h *History) ledByBad(first, last Day) bool {
	if !h.bad {
		return false
	}
	var longest Amount
	for _, b := range h.between(first, last) {
		longest = max(longest, b.countedFinal())
	}
	return h.spokenAgainst(first, last, longest)
}

// bestWeek returns the best seven-day sum of counted lengths that ended 7 to 34
// days before day; it may grow if no week with that sum is led by a bad run.
// Weeks lie within the history: as long as there is no whole one, what was run
// until a week ago stands for it, and at least a beginner's week.
func (h *History) bestWeek(day Day) base {
	best, ok := h.bestSum(day)
	if !ok {
		ran, first := h.countedUntil(day-youngest), h.beginnersWeek(day)
		return base{amount: max(ran, first), grows: true, made: first >= ran}
	}
	grows := true
	for end := h.firstWeekEnd(day); end <= day-youngest; end++ {
		if h.countedWeek(end) == best && h.ledByBad(end-weekDays+1, end) {
			grows = false
		}
	}
	return base{amount: best, grows: grows}
}

// bestSum returns the best sum of the whole weeks that ended 7 to 34 days before
// day; ok is false if there is none.
func (h *History) bestSum(day Day) (best Amount, ok bool) {
	for end := h.firstWeekEnd(day); end <= day-youngest; end++ {
		best, ok = max(best, h.countedWeek(end)), true
	}
	return best, ok
}

// firstWeekEnd returns the last day of the earliest week that bestWeek looks at.
func (h *History) firstWeekEnd(day Day) Day { return max(day-weekOldest, h.first+weekDays-1) }

// countedWeek sums the counted lengths of the seven days up to end.
func (h *History) countedWeek(end Day) Amount {
	i := int(end-h.first) + 1
	return h.counted[i] - h.counted[i-weekDays]
}

// countedUntil sums the counted lengths of all days up to last.
func (h *History) countedUntil(last Day) Amount {
	return h.counted[max(0, min(int(last-h.first)+1, len(h.counted)-1))]
}

// beginnersRuns is how many first runs make a beginner's week (project default).
const beginnersRuns = 3

func (h *History) beginnersWeek(day Day) Amount {
	return beginnersRuns * h.stepIn(day, 0, "").Limit
}

// weekCeiling grows a week: by its share, no more than the most and no less than
// the least, and not at all after three weeks that grew.
func (h *History) weekCeiling(day Day, from base) Amount {
	if !from.grows || h.grewThreeWeeks(day) {
		return from.amount
	}
	set := h.in.Settings.on(day)
	most := h.pick(set.WeekMostKM, set.WeekMostMin)
	least := h.pick(set.WeekKM, set.WeekMin)
	return from.amount + max(min(share(from.amount, set.WeekShare), most), least)
}

func (h *History) weekLimit(day Day, run Amount, told baseline) Limit {
	from := h.bestWeek(day)
	if told.week > from.amount || told.week > 0 && from.made {
		return Limit{Rule: LimitWeek, Value: run, Limit: told.week, Why: h.toldWeekWords(told)}
	}
	why := h.say("the best held week that ended 7 to 34 days ago is %s", h.format(from.amount)) + noGrowth(from.grows)
	if from.made {
		why = h.say("no whole week is known yet: three first runs (project default) are %s", h.format(from.amount))
	}
	if from.grows && h.grewThreeWeeks(day) {
		why += ", and after three weeks that grew this one does not"
	}
	return Limit{Rule: LimitWeek, Value: run, Limit: h.weekCeiling(day, from), Why: why}
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
	set := h.in.Settings.on(day)
	limit := Time.Of(set.StepInMin)
	if h.measure.IsLength() {
		limit = Distance.Of(set.StepInMin * 60 * set.StepInMPS / 1000)
	}
	return Limit{Rule: LimitBreak, Value: today, Limit: limit, Why: why + h.say(": %g min easy", set.StepInMin)}
}

// breakLimit is what a break still forgives, whichever leaves least: some easy
// minutes after more than four weeks or with nothing to go by, else a part of
// the median session, of the median day and of the best week before it.
func (h *History) breakLimit(day Day, today Amount, before Instant, nothing bool) Limit {
	state := h.breakOn(day)
	var limits []Limit
	switch {
	case state.class == lapsedBreak:
		why := h.say("more than %d days without a run", lapsedBreakDays-1)
		limits = append(limits, h.stepIn(day, today, why),
			Limit{Rule: LimitBreak, Value: h.weekBefore(day, before), Limit: h.beginnersWeek(day), Why: why + ": a beginner's week"})
	case nothing:
		limits = append(limits, h.stepIn(day, today, "no run 7 to 30 days ago carries a limit"))
	}
	if state.class == shortBreak || state.class == longBreak {
		limits = append(limits, h.forgiven(state, day, today, before)...)
	}
	return slices.MinFunc(limits, func(a, b Limit) int { return cmp.Compare(a.Limit-a.Value, b.Limit-b.Value) })
}

// forgiven are the parts of what was run before a break of up to four weeks.
func (h *History) forgiven(state breakState, day Day, today Amount, before Instant) []Limit {
	part, week := h.breakShares(day, state.class)
	best := h.bestWeek(state.base)
	limits := []Limit{{
		Rule: LimitBreak, Value: h.weekBefore(day, before), Limit: share(best.amount, week),
		Why: partWords(week) + h.weekWords(best),
	}}
	session, total, ok := h.mediansBefore(state.base)
	if !ok {
		return append(limits, h.stepIn(day, today, "no run before the break carries a limit"))
	}
	return append(limits,
		Limit{Rule: LimitBreak, Limit: share(session, part), Why: partWords(part) + "the median run of the 28 days before the break (" + h.format(session) + ")"},
		Limit{Rule: LimitBreak, Value: today, Limit: share(total, part), Why: partWords(part) + "the median day with a run before the break (" + h.format(total) + ")"})
}

// weekWords names the week that a break leaves a part of.
func (h *History) weekWords(best base) string {
	if best.made {
		return "three first runs, as no whole week before the break is known (" + h.format(best.amount) + ")"
	}
	return "the best held week before the break (" + h.format(best.amount) + ")"
}

// partWords says which part of something a break leaves.
func partWords(part float64) string {
	switch part {
	case 1:
		return "no more than "
	case 0.5:
		return "half of "
	}
	return fmt.Sprintf("%.0f %% of ", 100*part)
}

// breakShares returns which part of the sessions and days, and of the week before
// a break of up to four weeks is left.
func (h *History) breakShares(day Day, class breakClass) (part, week float64) {
	set := h.in.Settings.on(day)
	if class == longBreak {
		return set.LongBreakShare, set.LongBreakShare
	}
	return 1, set.BreakWeekShare
}

// mediansBefore returns the median counted length of the sessions, and of the
// days with runs, in the 28 days up to last. Runs that count nothing are left
// out; ok is false if there is no other.
func (h *History) mediansBefore(last Day) (session, total Amount, ok bool) {
	var sessions, totals []Amount
	for d := max(h.first, last-chronicDays+1); d <= last; d++ {
		for _, b := range h.on(d) {
			if c := b.countedFinal(); c > 0 {
				sessions = append(sessions, c)
			}
		}
		if sum := h.countedTotal(d); sum > 0 {
			totals = append(totals, sum)
		}
	}
	if len(sessions) == 0 {
		return 0, 0, false
	}
	return medianAmount(sessions), medianAmount(totals), true
}

// The days after a race over the limits (project default): none at all, then
// half of the longest held run.
const (
	raceHeldDays = 3
	raceHalfDays = 7
)

// raceLimits hold a runner back after a race that was over the limits of its
// day, then allow half of the longest held run, or of a first one.
func (h *History) raceLimits(day Day) (limits []Limit) {
	for _, b := range h.between(day-raceHeldDays-raceHalfDays, day-1) {
		if !b.race || b.amount <= h.leastRoom(b.day, b.start) {
			continue
		}
		if day-b.day <= raceHeldDays {
			limits = append(limits, Limit{Rule: LimitRace, Why: h.say("the race of %s was over the limits: held for %d days", b.day.Spoken(), raceHeldDays)})
			continue
		}
		base := h.longestHeld(day).amount
		if base == 0 {
			base = h.stepIn(day, 0, "").Limit
		}
		limits = append(limits, Limit{
			Rule: LimitRace, Limit: base / 2,
			Why: h.say("after the race of %s half of the longest held run", b.day.Spoken()),
		})
	}
	return limits
}

// leastRoom is what all limits of a day leave.
func (h *History) leastRoom(day Day, before Instant) Amount {
	least := Amount(math.MaxInt64)
	for _, l := range h.limits(day, before) {
		least = min(least, l.Room())
	}
	return least
}

// say is fmt.Sprintf where somebody reads the words.
func (h *History) say(format string, args ...any) string {
	if h.mute {
		return ""
	}
	return fmt.Sprintf(format, args...)
}

// muted returns the history without words, for those who need the numbers alone.
func (h *History) muted() *History {
	quiet := *h
	quiet.mute = true
	return &quiet
}

// format writes an amount in the measure's unit, to one decimal.
func (h *History) format(a Amount) string {
	if h.mute {
		return ""
	}
	return fmt.Sprintf("%.1f %s", h.measure.In(a), h.measure.Unit())
}
