// Package assess joins what the pure packages say into one picture of one runner
// on one day: windows, findings and headroom. Pages, API, squad and commands
// ask here and nowhere else, so that no two of them answer differently.
//
// Like them it is pure: everything it knows is handed in, today included.
package assess

import (
	"cmp"
	"slices"

	"tidemark/load"
)

// Query says what is asked of the picture.
type Query struct {
	Measure  load.Measure
	From, To load.Day // rows of the windows, both included
}

// Picture is one runner on one day, which is the input's Today.
type Picture struct {
	Day      load.Day
	Measure  load.Measure
	Days     []load.DayRow     // in order
	Sessions []load.SessionRow // in order
	Findings []load.Finding    // in order of day; all of the runner's history
	Headroom *load.Headroom    // nil for measures without limits
	Empty    bool              // no run at all
}

// Assess draws the picture of a runner and what is followed of them; nil: nothing is.
// Limits of other packages come in as more.
func Assess(in *load.Input, care *Care, q Query, more []load.Limit) Picture {
	if care == nil {
		care = &Care{}
	}
	book := load.NewLogbook(in)
	h := book.History(q.Measure)
	p := Picture{
		Day: in.Today, Measure: q.Measure, Empty: h.Empty(),
		Days: h.DayRows(q.From, q.To), Sessions: h.SessionRows(q.From, q.To),
	}
	findings := h
	if m := findingsMeasure(in); q.Measure != m {
		findings = book.History(m)
	}
	p.Findings = load.Episodes(inOrder(slices.Concat(findings.Triggers(), knownBy(in.Today, care.triggers(in.Today)))))
	if q.Measure.Limited() {
		room := h.Headroom(in.Today, endOf(in.Today), slices.Concat(care.Limits(h, in.Today, endOf(in.Today)), more))
		p.Headroom = &room
	}
	return p
}

// findingsMeasure is distance, unless most runs were typed with their minutes
// alone.
func findingsMeasure(in *load.Input) load.Measure {
	with, without := 0, 0
	for i := range in.Sessions {
		if s := &in.Sessions[i]; s.Sport == load.Running && !s.Excluded {
			if _, ok := s.Measures.Get(load.Distance); ok {
				with++
			} else {
				without++
			}
		}
	}
	if without > with {
		return load.Time
	}
	return load.Distance
}

// endOf returns an instant after every start on day, in whatever zone.
func endOf(day load.Day) load.Instant {
	return load.InstantOf((day + 2).Noon())
}

// knownBy dates what a run of today has said of the morning to come: today.
func knownBy(today load.Day, triggers []load.Trigger) []load.Trigger {
	for i := range triggers {
		t := &triggers[i]
		t.Day, t.LastDay = min(t.Day, today), min(t.LastDay, today)
	}
	return triggers
}

// inOrder sorts triggers by day; those of one day keep their order.
func inOrder(triggers []load.Trigger) []load.Trigger {
	slices.SortStableFunc(triggers, func(a, b load.Trigger) int { return cmp.Compare(a.Day, b.Day) })
	return triggers
}

// Imagine answers what one run would do, with what is followed.
func Imagine(in *load.Input, care *Care, m load.Measure, day load.Day, amount load.Amount) load.WhatIf {
	if care == nil {
		care = &Care{}
	}
	return load.Imagine(in, m, day, amount, func(h *load.History, before load.Instant) []load.Limit {
		return care.Limits(h, day, before)
	})
}
