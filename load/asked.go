package load

// What other packages ask of a history to make limits of their own.

// Measure returns the measure that the history is of.
func (h *History) Measure() Measure { return h.measure }

// LastRun returns the day of the last run up to day that started before the instant; ok is
// false if there is none.
func (h *History) LastRun(day Day, before Instant) (last Day, ok bool) {
	for i := len(h.bouts) - 1; i >= 0; i-- {
		if b := &h.bouts[i]; b.day < day || b.day == day && b.start < before {
			return b.day, true
		}
	}
	return 0, false
}

// RunBefore returns what was run on day and in its seven days before the instant. It
// panics on a day outside the history.
func (h *History) RunBefore(day Day, before Instant) (today, week Amount) {
	return h.startedBefore(day, before), h.weekBefore(day, before)
}

// BestWeek returns the best seven-day sum of held runs that ended 7 to 34 days before day,
// without growth.
func (h *History) BestWeek(day Day) Amount { return h.bestWeek(day).amount }

// LongestHeld returns the longest held run 7 to 30 days old, without growth; what a first
// run may be where there is none.
func (h *History) LongestHeld(day Day) Amount {
	if h.Empty() || day < h.first {
		return h.stepIn(day, 0, "").Limit
	}
	return max(h.longestHeld(day).amount, h.stepIn(day, 0, "").Limit)
}

// Larger adds the growth of a session to an amount.
func (h *History) Larger(day Day, a Amount) Amount {
	return h.larger(day, base{amount: a, grows: true})
}

// Easy returns so many minutes of easy running in the history's measure, which is limited.
func (h *History) Easy(minutes float64) Amount {
	if h.measure.IsLength() {
		return Distance.Of(minutes * 60 * defaults.StepInMPS / 1000)
	}
	return Time.Of(minutes)
}
