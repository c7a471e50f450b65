package assess

import (
	"fmt"

	"tidemark/load"
)

// LimitHeld is all that somebody without leave for medical detail is told of limits that
// follow from it.
const LimitHeld = "held"

// heldAhead is how many days ahead the end of a hold is looked for; project default.
const heldAhead = 14

// Shared draws the picture for somebody who may see load and no medical detail: findings as
// of a runner of whom nothing is followed, and one limit, held, for all that follows from
// more (interface 2).
func Shared(in *load.Input, care *Care, q Query) Picture {
	p := Assess(Bare(in), nil, q, nil)
	if q.Measure.Limited() {
		h := load.NewHistory(in, q.Measure)
		room := h.Headroom(in.Today, endOf(in.Today), care.sharedLimits(in, h, in.Today, endOf(in.Today)))
		p.Headroom = &room
	}
	return p
}

// Beforehand is the headroom that a session of a day is held against, as Imagine holds it: h
// is the runner's history as of that day, c what is followed by then.
func (c *Care) Beforehand(h *load.History, day load.Day) load.Headroom {
	return h.Beforehand(func(h *load.History, before load.Instant) []load.Limit { return c.Limits(h, day, before) })
}

// BeforehandShared is Beforehand for somebody who may see no medical detail. It does not look
// for the end of a hold.
func (c *Care) BeforehandShared(h *load.History, day load.Day) load.Headroom {
	return h.Beforehand(func(h *load.History, before load.Instant) []load.Limit { return c.sharedLimit(h, day, before) })
}

// ImagineShared is Imagine for somebody who may see no medical detail.
func ImagineShared(in *load.Input, care *Care, m load.Measure, day load.Day, amount load.Amount) load.WhatIf {
	return load.Imagine(in, m, day, amount, func(h *load.History, before load.Instant) []load.Limit {
		return care.sharedLimits(in, h, day, before)
	})
}

// Bare is the input without when something hurt. What mornings said of runs stays in what
// they carry: a run is held or not.
func Bare(in *load.Input) *load.Input {
	bare := *in
	bare.Complaints = nil
	return &bare
}

// sharedLimits is the one of the limits with the least room, without its name and reason.
func (c *Care) sharedLimits(in *load.Input, h *load.History, day load.Day, before load.Instant) []load.Limit {
	limits := c.sharedLimit(h, day, before)
	if len(limits) > 0 && limits[0].Rule == LimitHeld && limits[0].Limit == 0 {
		limits[0].Why = heldWords(c.heldUntil(in, h.Measure(), day))
	}
	return limits
}

// sharedLimit is sharedLimits that does not say until when.
func (c *Care) sharedLimit(h *load.History, day load.Day, before load.Instant) []load.Limit {
	limits := c.Limits(h, day, before)
	if len(limits) == 0 {
		return nil
	}
	least, led := limits[0], false
	for _, l := range limits {
		led = led || l.Rule == load.LimitClinicianLed
		alone := least.Alone || l.Alone
		if l.Room() < least.Room() {
			least = l
		}
		least.Alone = alone
	}
	least.Rule, least.Why = LimitHeld, "agreed with the care team"
	if led {
		least.Rule, least.Why = load.LimitClinicianLed, "agreed with the clinician"
	}
	return []load.Limit{least}
}

// HeldUntil returns until when a runner is held whose headroom today is nothing; ok is false
// where it cannot be told.
func (c *Care) HeldUntil(in *load.Input, m load.Measure) (until load.Day, ok bool) {
	return c.heldUntil(in, m, in.Today)
}

// heldUntil returns the first day on which the runner is not held, as far as it can be told
// today: by what is followed, or by a race that was over the limits.
func (c *Care) heldUntil(in *load.Input, m load.Measure, day load.Day) (until load.Day, told bool) {
	h := load.NewHistory(in, m)
	for until = day + 1; until <= day+heldAhead; until++ {
		h = h.Until(until)
		limits := c.Limits(h, until, endOf(until))
		held := h.Headroom(until, endOf(until), limits).State == load.HeldBack
		for _, l := range limits { // a clinician's nothing, and what a race day hides
			held = held || l.Limit == 0
		}
		if !held {
			return until, true
		}
	}
	return 0, false
}

func heldWords(until load.Day, told bool) string {
	if !told {
		return "no run until it is lifted"
	}
	return fmt.Sprintf("no run until %s", until.Spoken())
}
