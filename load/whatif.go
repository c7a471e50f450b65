package load

import (
	"slices"
	"time"
)

// WhatIf is what one imagined run would do.
type WhatIf struct {
	Amount   Amount
	Headroom Headroom // before the run
	Over     []string // the limits it would break, in the order of the headroom's
	Row      DayRow   // the windows of the day with the run in it
	Session  SessionRow
}

// Imagine answers "what if I run so much on that day": in is left as it is. The
// day may lie ahead of its Today; the days up to it count as they would if
// nothing was run on them. It panics for a measure that is not Limited or an
// amount that is not above zero.
func Imagine(in *Input, m Measure, day Day, amount Amount, more []Limit) WhatIf {
	if amount <= 0 {
		panic("load: Imagine: no amount")
	}
	ahead := *in
	ahead.Today = day
	before := NewHistory(&ahead, m)
	w := WhatIf{Amount: amount, Headroom: before.Headroom(day, imagined(before, day), more)}
	for _, l := range w.Headroom.Limits {
		if amount > l.Room() {
			w.Over = append(w.Over, l.Rule)
		}
	}

	run := Session{ID: "imagined", Day: day, Start: imagined(before, day), Sport: Running, Typed: true}
	run.End = run.Start.Add(time.Minute)
	run.Measures.Set(m, amount)
	ahead.Sessions = append(slices.Clone(in.Sessions), run)
	after := NewHistory(&ahead, m)
	w.Row = after.DayRows(day, day)[0]
	for _, row := range after.SessionRows(day, day) {
		if row.ID == run.ID {
			w.Session = row
		}
	}
	return w
}

// imagined returns a start on day that is late enough to be a run of its own.
func imagined(h *History, day Day) Instant {
	start := InstantOf(day.Noon())
	for _, b := range h.on(day) {
		start = max(start, b.end.Add(boutGap))
	}
	return start
}
