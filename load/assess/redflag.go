package assess

import (
	"slices"
	"strings"

	"tidemark/load"
	"tidemark/load/rehab"
)

// LimitRedFlag is the limit of a sign that is no matter of limits.
const LimitRedFlag = "red-flag"

// flagLimits are what the flags that stand leave of a day: nothing, nothing but what a
// clinician has typed, or the limits without growth.
func (c *Care) flagLimits(h *load.History, day load.Day, before load.Instant) (limits []load.Limit) {
	for i := range c.Flags {
		f := &c.Flags[i]
		if !f.Stands(day) {
			continue
		}
		why := flagWords(f)
		switch {
		case f.Flag.Act.Stops():
			limits = append(limits, load.Limit{Rule: LimitRedFlag, Why: why})
		case f.Flag.Act == rehab.ClinicianLed:
			limits = append(limits, c.ledLimit(h, day, before, why))
		default:
			limits = append(limits, c.ungrown(h, day, before, why+"; until then nothing grows"))
		}
	}
	return limits
}

// signsLast puts what a sign stops behind all else that leaves nothing: the last of them is
// told as the one that decides.
func (c *Care) signsLast(limits []load.Limit, day load.Day) []load.Limit {
	last := func(l load.Limit) bool {
		return l.Rule == LimitRedFlag && c.Stopping(day) != nil || l.Rule == load.LimitClinicianLed
	}
	slices.SortStableFunc(limits, func(a, b load.Limit) int { return compareBool(last(a), last(b)) })
	return limits
}

// planned is a limit of as much as the way back holds; ok is false where none runs, or
// something stands against it.
func (c *Care) planned(h *load.History, day load.Day, before load.Instant) (l load.Limit, ok bool) {
	of, ok := c.Ramp.limits(h, day, before)
	if _, stopped := c.Ramp.Stopped(day); stopped || !ok {
		return l, false
	}
	return of[len(of)-1], true
}

// ledLimit is what a clinician has typed: a way back that was set or confirmed since. Without
// one it is nothing.
func (c *Care) ledLimit(h *load.History, day load.Day, before load.Instant, why string) load.Limit {
	l, ok := c.planned(h, day, before)
	l.Rule, l.Why = load.LimitClinicianLed, why+"; the way back was set since"
	if !ok {
		return load.Limit{Rule: load.LimitClinicianLed, Why: why + "; no clinician has set a limit yet"}
	}
	return l
}

// ungrown is what stays without growth: what the way back holds, which does not grow then
// either, or the longest held run and the best held week, whichever leaves less. Who has run
// nothing yet keeps the first stage.
func (c *Care) ungrown(h *load.History, day load.Day, before load.Instant, why string) load.Limit {
	if l, ok := c.planned(h, day, before); ok {
		l.Rule, l.Why = LimitRedFlag, why
		return l
	}
	session := load.Limit{Rule: LimitRedFlag, Limit: orFirst(h, h.LongestHeld(day)), Why: why}
	if h.Empty() || day < h.First() {
		return session
	}
	_, week := h.RunBefore(day, before)
	of := load.Limit{Rule: LimitRedFlag, Value: week, Limit: max(h.BestWeek(day), session.Limit), Why: why + ", and the week neither"}
	if of.Room() < session.Room() {
		return of
	}
	return session
}

func lower(text string) string { return strings.ToLower(text[:1]) + text[1:] }

// flagTriggers tell every flag from the day it was raised to the day it was lifted.
func (c *Care) flagTriggers(today load.Day) (found []load.Trigger) {
	for i := range c.Flags {
		f := &c.Flags[i]
		if f.From > today {
			continue
		}
		t := trigger(load.RuleRedFlag, f.From, since(f.Flag.ID, f.From), "", f.Flag.Sign+": "+f.Flag.Do, 0, 0)
		t.Source, t.Strength = f.Flag.Source, "a sign that is no matter of limits"
		if f.Flag.Act.Stops() {
			t.Level = load.Stop
		}
		t.LastDay = today
		if f.IsLifted {
			t.LastDay = min(today, max(f.From, f.Lifted-1))
		}
		found = append(found, t)
	}
	return found
}
