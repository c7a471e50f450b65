package load

// breakClass is how long a break was: how much of the old load it forgives.
type breakClass int8

const (
	noBreak     breakClass = iota
	shortBreak             // 8 to 14 days since the last run
	longBreak              // 15 to 28
	lapsedBreak            // more
)

// The lengths of a break, in days since the last run, from which each class
// holds (project default, after the return-to-run rules of the rehab reference).
const (
	shortBreakDays  = 8
	longBreakDays   = 15
	lapsedBreakDays = 29
)

func classOf(days Day) breakClass {
	switch {
	case days >= lapsedBreakDays:
		return lapsedBreak
	case days >= longBreakDays:
		return longBreak
	case days >= shortBreakDays:
		return shortBreak
	}
	return noBreak
}

// breakState is what a break still limits on one day.
type breakState struct {
	class breakClass
	base  Day // the last run before the break
	days  Day // days since the last run, on this day
}

// layBreaks walks the days once; a run is on the day on which its bout started. A break is lifted by one class for each seven
// days since the return that had runs and no bad morning.
func (h *History) layBreaks() {
	h.breaks = make([]breakState, len(h.days))
	var now breakState
	last, back := h.first, never
	kept := noBreak // what an earlier break had left when this one began
	ran, bad := false, false
	for i := range h.days {
		day := h.first + Day(i)
		now.days = day - last
		if class := classOf(now.days); class != noBreak {
			if now.days == shortBreakDays {
				kept, now.base, back = now.class, last, never
			}
			now.class = max(kept, class)
		}
		h.breaks[i] = now
		bad = bad || h.badMorning(day)
		if len(h.on(day)) > 0 {
			last, ran = day, true
			if now.class != noBreak && back == never {
				back, bad = day, false
			}
		}
		if now.class != noBreak && back != never && (day-back+1)%7 == 0 {
			if ran && !bad {
				now.class--
			}
			ran, bad = false, false
		}
	}
}

// badMorning reports whether a morning on day spoke against the run before it.
func (h *History) badMorning(day Day) bool {
	for _, b := range h.on(day - 1) {
		if b.verdict.Bad() {
			return true
		}
	}
	return false
}

// breakOn returns what a break limits on day, before that day's runs. Days after
// the history's last are not asked.
func (h *History) breakOn(day Day) breakState { return h.breaks[day-h.first] }
