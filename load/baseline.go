package load

// BaselineDays is how long what a newcomer said of the 30 days before is believed.
const BaselineDays = 30

// baseline is what a newcomer said; zero stands for what was not.
type baseline struct{ longest, week Amount }

// baseline returns what the runner said, as long as the history is too short to know
// and the answer not older than the days it was about.
func (h *History) baseline(day Day) baseline {
	set := h.in.Settings.on(day)
	known := !h.Empty() && day >= h.first && !h.provisional(day)
	if known || day-set.BaselineDay >= BaselineDays {
		return baseline{}
	}
	return baseline{h.pick(set.BaselineLongestKM, set.BaselineLongestMin), h.pick(set.BaselineWeekKM, set.BaselineWeekMin)}
}

// SaidInMinutes reports whether a newcomer's answers, which still stand in for a history,
// are in minutes alone.
func (in *Input) SaidInMinutes() bool {
	set := in.Settings.on(in.Today)
	return set.BaselineLongestMin > 0 && set.BaselineLongestKM == 0 && NewHistory(in, Time).baseline(in.Today).longest > 0
}

// toldLimits are the limits of who has said something and run nothing yet. What
// nobody measured does not grow (project default).
func (h *History) toldLimits(told baseline) []Limit {
	longest := base{amount: told.longest, told: true}
	limits := []Limit{
		{Rule: LimitSession, Limit: told.longest, Why: h.longestWords(longest)},
		{Rule: LimitDay, Limit: told.longest, Why: h.longestWords(longest)},
	}
	if told.week > 0 {
		limits = append(limits, Limit{Rule: LimitWeek, Limit: told.week, Why: h.toldWeekWords(told)})
	}
	return limits
}

func (h *History) toldWeekWords(told baseline) string {
	return "a usual week, as you said, is " + h.format(told.week) + "; it does not grow until it is seen"
}

// said returns a usual run by what a newcomer said: a usual week by its runs.
func (h *History) said(day Day) Value {
	told, runs := h.baseline(day), h.in.Settings.on(day).BaselineRuns
	if told.week == 0 || runs == 0 {
		return Undefined(ReasonHistory)
	}
	return Known(h.measure.In(told.week) / runs)
}
