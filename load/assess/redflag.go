package assess

import (
	"fmt"
	"strings"

	"tidemark/load"
)

// LimitRedFlag is the limit of a sign that is no matter of limits.
const LimitRedFlag = "red-flag"

// flagLimits are what the flags that stand leave of a day: nothing, nothing but what a
// clinician has typed, or the limits without growth.
func (c *Care) flagLimits(h *load.History, day load.Day) (limits []load.Limit) {
	for i := range c.Flags {
		f := &c.Flags[i]
		if !f.Stands(day) {
			continue
		}
		why := fmt.Sprintf("%s: %s", lower(f.Flag.Sign), f.Flag.Do)
		switch {
		case f.Flag.Act.Stops():
			limits = append(limits, load.Limit{Rule: LimitRedFlag, Why: why})
		case f.Flag.Act == "clinician-led":
			limits = append(limits, load.Limit{Rule: load.LimitClinicianLed, Why: why + "; no clinician has set a limit yet"})
		default:
			limits = append(limits, load.Limit{Rule: LimitRedFlag, Limit: h.LongestHeld(day), Why: why + "; until then nothing grows"})
		}
	}
	return limits
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
