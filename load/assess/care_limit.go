package assess

import (
	"cmp"
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// The limits of what is followed.
const (
	LimitSpacing   = "spacing"
	LimitMorning   = "morning"
	LimitComplaint = "complaint"
)

// What a flare and an unsettled morning ask for; project defaults after the
// return-to-run rules of the rehab reference.
const (
	flareRest     = 3  // rest days, and back to usual, before the next run
	flareRuns     = 2  // runs after a flare with less and with
	flareGap      = 3  // rest days between them
	flareShare    = 80 // percent of the longest settled run
	twoFlaresDays = 14 // two flares in so many days: a week without running
	pauseDays     = 7
	reviewDays    = 28 // three in so many: have it looked at
	settledInARow = 4  // runs after which a day less lies between
	growAfter     = 2  // settled run mornings before anything grows
	firstStageMin = 10 // minutes of the first stage
)

// Limits are what mornings, spacing and an open complaint leave of a day, for a session
// that starts after what was run before the instant. Without an open complaint there are
// none but those of signs and of a flare before it was closed.
func (c *Care) Limits(h *load.History, day load.Day, before load.Instant) (limits []load.Limit) {
	if !h.Measure().Limited() {
		return nil
	}
	return c.signsLast(c.limits(h, day, before), day)
}

func (c *Care) limits(h *load.History, day load.Day, before load.Instant) (limits []load.Limit) {
	limits = c.flagLimits(h, day, before)
	if len(c.Open(day)) == 0 {
		if l, ok := c.pause(nil, day); ok {
			limits = append(limits, l)
		}
		return limits
	}
	runs := c.answeredRuns(h, day)
	of, plans := c.Ramp.limits(h, day, before)
	limits = append(limits, of...)
	if l, ok := c.spacing(h, runs, day, before); ok {
		limits = append(limits, l)
	}
	if plans && of[len(of)-1].Alone {
		return limits
	}
	if l, ok := c.pause(runs, day); ok {
		limits = append(limits, l)
	}
	if l, ok := c.lessened(h, runs, day); ok {
		limits = append(limits, l)
	}
	if plans {
		return limits
	}
	return append(limits, c.usual(h, runs, day, before))
}

// pause is nothing at all after a flare, until it is as usual and rest days have passed.
func (c *Care) pause(runs []answered, day load.Day) (l load.Limit, ok bool) {
	flares := c.flares(day)
	if len(flares) == 0 {
		return l, false
	}
	last := flares[len(flares)-1]
	l.Rule = LimitMorning
	counted := c.flared(day)
	within := func(n int, days load.Day) bool { return rehab.FlaresIn(counted, days) >= n }
	switch {
	case within(3, reviewDays) && day < last+pauseDays:
		l.Why = fmt.Sprintf("the third flare in %d days, on %s: %d days without running, and have it looked at before you run on", reviewDays, last.Spoken(), pauseDays)
		return l, true
	case within(2, twoFlaresDays) && day < last+pauseDays:
		l.Why = fmt.Sprintf("two flares in %d days, the last on %s: %d days without running, and ask whoever treats you", twoFlaresDays, last.Spoken(), pauseDays)
		return l, true
	}
	what, rest := "the morning of "+last.Spoken(), last // itself the first day of rest
	if last > day {
		what = "the run of " + (last - 1).Spoken()
	}
	if n := len(runs); n > 0 {
		rest = max(rest, runs[n-1].day+1) // it was run all the same
	}
	switch {
	case !c.backSince(counted[len(counted)-1].First, day):
		l.Why = fmt.Sprintf("%s flared: no run until a morning is as usual again and %d rest days have passed", what, flareRest)
		return l, true
	case day < rest+flareRest:
		l.Why = fmt.Sprintf("%s flared: %d rest days, until %s", what, flareRest, (rest + flareRest - 1).Spoken())
		return l, true
	}
	return l, false
}

// afterFlare reports whether the next run is one of the first two after a flare and its rest.
func (c *Care) afterFlare(runs []answered, day load.Day) bool {
	flares := c.flares(day)
	if len(flares) == 0 {
		return false
	}
	since := 0
	for i, r := range runs {
		if r.day < flares[len(flares)-1] {
			continue
		}
		if _, held := c.pause(runs[:i], r.day); !held {
			since++
		}
	}
	return since < flareRuns
}

// gap returns the rest days that lie between two runs now, and why.
func (c *Care) gap(runs []answered, day load.Day) (days int, why string) {
	inARow := 0
	for _, r := range slices.Backward(runs) {
		if r.verdict == load.Missing {
			continue
		}
		if r.verdict != load.Settled {
			break
		}
		inARow++
	}
	for _, r := range c.Open(day) {
		info, err := rehab.FindSite(r.Complaint.Site)
		if err != nil {
			panic(err) // it was checked when it was kept
		}
		gap := info.Gap
		if inARow >= settledInARow {
			gap = info.Settled
		}
		if gap > days {
			days, why = gap, info.Short
		}
	}
	why = fmt.Sprintf("%s between runs (%s)", restDays(days), why)
	switch last := lastVerdict(runs); {
	case c.afterFlare(runs, day):
		if days < flareGap {
			days, why = flareGap, fmt.Sprintf("%s between the first two runs after a flare", restDays(flareGap))
		}
	case last == load.Unsettled:
		days++
		why = fmt.Sprintf("%s after a morning that was not settled", restDays(days))
	}
	return days, why
}

func restDays(n int) string {
	if n == 1 {
		return "1 rest day"
	}
	return fmt.Sprintf("%d rest days", n)
}

// lastVerdict is what the last run morning said, missing ones passed over.
func lastVerdict(runs []answered) load.Verdict {
	for _, r := range slices.Backward(runs) {
		if r.verdict != load.Missing && r.verdict != load.NoVerdict {
			return r.verdict
		}
	}
	return load.NoVerdict
}

// spacing is nothing while rest days since the last run are due.
func (c *Care) spacing(h *load.History, runs []answered, day load.Day, before load.Instant) (l load.Limit, ok bool) {
	last, ok := h.LastRun(day, before)
	if !ok {
		return l, false
	}
	gap, why := c.gap(runs, day)
	if d, ok := c.Ramp.On(day); ok && d.Adds != "" {
		gap = max(0, gap-1) // the plan has more run days, and has held them to its own spacing
	}
	next := last + load.Day(gap) + 1
	if day >= next {
		return l, false
	}
	return load.Limit{Rule: LimitSpacing, Why: fmt.Sprintf("%s: the last run was on %s, the next is on %s at the earliest", why, last.Spoken(), next.Spoken())}, true
}

// lessened is what an unsettled morning, a missing one or a flare leaves of the runs before
// it.
func (c *Care) lessened(h *load.History, runs []answered, day load.Day) (l load.Limit, ok bool) {
	last, longest := settledRuns(runs)
	l.Rule = LimitMorning
	if c.afterFlare(runs, day) {
		l.Limit = orFirst(h, longest*flareShare/100)
		l.Why = fmt.Sprintf("the first two runs after a flare: %d %% of the longest settled run", flareShare)
		return l, true
	}
	var said []load.Verdict
	for _, r := range slices.Backward(runs) {
		if r.verdict == load.Unsettled || r.verdict == load.Settled || r.verdict == load.Flared {
			said = append(said, r.verdict)
		}
	}
	switch {
	case len(said) > 1 && said[0] == load.Unsettled && said[1] == load.Unsettled:
		l.Limit = orFirst(h, last*flareShare/100)
		l.Why = fmt.Sprintf("two mornings running were not settled: %d %% of the last run that was", flareShare)
	case len(said) > 0 && said[0] == load.Unsettled:
		l.Limit = orFirst(h, last)
		l.Why = "the last morning after a run was not settled: no more than the last run that was"
	case len(runs) > 0 && runs[len(runs)-1].verdict == load.Missing:
		l.Limit = orFirst(h, last)
		l.Why = "nobody said how the tendon was after the last run: no more than the last run that was settled"
	default:
		return l, false
	}
	return l, true
}

// settledRuns returns the last and the longest run that settled, or nothing.
func settledRuns(runs []answered) (last, longest load.Amount) {
	for _, r := range runs {
		if r.verdict == load.Settled {
			last, longest = r.longest, max(longest, r.longest)
		}
	}
	return last, longest
}

// orFirst is an amount, and at least the first stage of a way back.
func orFirst(h *load.History, a load.Amount) load.Amount { return max(a, h.Easy(firstStageMin)) }

// usual is the longest settled run and the best held week, while something is followed
// and no ramp is run; of a bone nothing (rehab reference 5.8: no running, urgent review). Neither grows before two settled run mornings in a row.
func (c *Care) usual(h *load.History, runs []answered, day load.Day, before load.Instant) load.Limit {
	if slices.ContainsFunc(c.Open(day), func(r *rehab.Record) bool { return r.Complaint.Bone }) {
		return load.Limit{Rule: LimitComplaint, Why: errBone.Error()}
	}
	_, longest := settledRuns(runs)
	grows := len(runs) >= growAfter
	for _, r := range runs[max(0, len(runs)-growAfter):] {
		grows = grows && r.verdict == load.Settled && r.whole
	}
	limits := []load.Limit{{Rule: LimitComplaint, Limit: orFirst(h, longest), Why: "the longest settled run; it grows after two settled mornings in a row"}}
	switch {
	case longest == 0:
		limits[0].Why = fmt.Sprintf("no run has settled yet: %d min of running, with as much walking between", firstStageMin)
	case grows:
		limits[0].Limit = h.Larger(day, longest)
		limits[0].Why = "the longest settled run, and a little more after two settled mornings in a row"
	}
	if !h.Empty() && day >= h.First() {
		_, week := h.RunBefore(day, before)
		limits = append(limits, load.Limit{Rule: LimitComplaint, Value: week, Limit: max(h.BestWeek(day), limits[0].Limit), Why: "the best held week that ended 7 to 34 days ago; while something hurts it does not grow"})
	}
	return slices.MinFunc(limits, func(a, b load.Limit) int { return cmp.Compare(a.Limit-a.Value, b.Limit-b.Value) })
}
