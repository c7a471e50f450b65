package load

// MostImagined is the largest amount that is asked about, in km as in minutes:
// more than anybody runs in a day. Project default.
const MostImagined = 2000

// WhatIf is what one imagined run would do.
type WhatIf struct {
	Amount   Amount
	Headroom Headroom // before the run
	After    Headroom // for whatever else that day, with the run in it
	Over     []string // the limits it would break, in the order of the headroom's
	Row      DayRow   // the windows of the day with the run in it
	Session  SessionRow
}

// Imagine answers "what if I run so much on that day": in is left as it is. The
// day may lie ahead of its Today; the days up to it count as they would if
// nothing was run on them. Limits of other packages are asked of more, which may be nil.
// It panics for a measure that is not Limited or an amount that is not above zero.
func Imagine(in *Input, m Measure, day Day, amount Amount, more func(h *History, before Instant) []Limit) WhatIf {
	if amount <= 0 {
		panic("load: Imagine: no amount")
	}
	ahead := *in
	ahead.Today = day
	before := NewHistory(&ahead, m)
	run := imagined(before, m, day, amount)
	if more == nil {
		more = func(*History, Instant) []Limit { return nil }
	}
	w := WhatIf{Amount: amount, Headroom: before.Beforehand(more)}
	for _, l := range w.Headroom.Limits {
		if amount > l.Room() {
			w.Over = append(w.Over, l.Rule)
		}
	}
	after := before.With(run)
	w.After = after.Headroom(day, run.Start+1, more(after, run.Start+1))
	w.Row = after.DayRows(day, day)[0]
	for _, row := range after.SessionRows(day, day) {
		if row.ID == run.ID {
			w.Session = row
		}
	}
	return w
}

// Beforehand is the headroom that an imagined run of the history's last day is held against,
// whatever its length. Limits of other packages are asked of more, which may be nil.
func (h *History) Beforehand(more func(h *History, before Instant) []Limit) Headroom {
	day := h.in.Today
	start := h.afterAll(day)
	var limits []Limit
	if more != nil {
		limits = more(h, start)
	}
	return h.Headroom(day, start, limits)
}

// imagined returns a run of its own on day, after all that is known by then. It
// has no start that others could join.
func imagined(h *History, m Measure, day Day, amount Amount) Session {
	run := Session{ID: "imagined", Day: day, Start: h.afterAll(day), NoStart: true, Sport: Running, Typed: true, Double: DoubleApart}
	run.End = run.Start
	run.Measures.Set(m, amount)
	return run
}

// afterAll is when an imagined run of a day starts.
func (h *History) afterAll(day Day) Instant {
	start := InstantOf(day.Noon())
	for _, s := range h.runs {
		start = max(start, s.End+1, s.Start+1)
	}
	return start
}
