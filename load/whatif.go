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
	w := WhatIf{Amount: amount, Headroom: before.Headroom(day, run.Start, more(before, run.Start))}
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

// imagined returns a run of its own on day, after all that is known by then. It
// has no start that others could join.
func imagined(h *History, m Measure, day Day, amount Amount) Session {
	run := Session{ID: "imagined", Day: day, Start: InstantOf(day.Noon()), NoStart: true, Sport: Running, Typed: true, Double: DoubleApart}
	for _, s := range h.runs {
		run.Start = max(run.Start, s.End+1, s.Start+1)
	}
	run.End = run.Start
	run.Measures.Set(m, amount)
	return run
}
