package load

import "slices"

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

// A recording shorter than this is no run that ends a break (project default).
const (
	leastRunKM  = 0.5
	leastRunMin = 3
)

// layBreaks walks the days from one on once. A run is on the day on which its bout started.
func (h *History) layBreaks(from int) {
	w := breakWalk{last: h.first, back: never}
	if from > 0 {
		w = h.breaks[from-1]
		w.end(h, h.first+Day(from-1))
	}
	h.breaks = grown(h.breaks[:from], len(h.days))
	for i := from; i < len(h.days); i++ {
		day := h.first + Day(i)
		w.wake(day, h.badMorning(day))
		h.breaks[i] = w
		w.end(h, day)
	}
}

// end ends a day with its runs.
func (w *breakWalk) end(h *History, day Day) {
	if h.ranOn(day) {
		w.run(day)
	}
}

// ranOn reports whether a run worth the name started on day.
func (h *History) ranOn(day Day) bool {
	bouts := h.on(day)
	for i := range bouts {
		if b := &bouts[i]; b.amount >= h.pick(leastRunKM, leastRunMin) || !b.complete || !h.measure.Limited() {
			return true
		}
	}
	return false
}

// breakWalk goes through the days and knows which break is in force.
type breakWalk struct {
	now      breakState
	last     Day        // of a run
	back     Day        // first run after the break, never before it
	kept     breakClass // what an earlier break had left when this one began
	ran, bad bool       // in the seven days since the return, or since the last lift
}

// wake begins a day, with its morning: a break may begin, grow longer, or be
// lifted by one class after seven days since the return that had runs and, up to
// this morning, no bad answer.
func (w *breakWalk) wake(day Day, badMorning bool) {
	w.bad = w.bad || badMorning
	if since := day - w.back; w.now.class != noBreak && w.back != never && since > 0 && since%7 == 0 {
		if w.ran && !w.bad {
			w.now.class--
		}
		w.ran, w.bad = false, false
	}
	w.now.days = day - w.last
	if w.now.days == shortBreakDays {
		w.kept, w.now.base, w.back = w.now.class, w.last, never
	}
	if w.now.days >= shortBreakDays {
		w.now.class = max(w.kept, classOf(w.now.days))
	}
}

// run notes a run on day.
func (w *breakWalk) run(day Day) {
	w.last, w.ran = day, true
	if w.now.class != noBreak && w.back == never {
		w.back, w.bad = day, false
	}
}

// badMorning reports whether a morning on day spoke against the run before it.
func (h *History) badMorning(day Day) bool {
	return h.bad && slices.ContainsFunc(h.on(day-1), func(b bout) bool { return b.verdict.Bad() })
}

// breakOn returns what a break limits on day, before that day's runs. Days after
// the history's last are not asked.
func (h *History) breakOn(day Day) breakState { return h.breaks[day-h.first].now }
