package assess

import (
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// LimitGate is the limit of a gate that was not passed any more.
const LimitGate = "gate"

// Stopping returns the sign that stops running on a day; nil: none does.
func (c *Care) Stopping(day load.Day) *rehab.Raised {
	i := slices.IndexFunc(c.Flags, func(f rehab.Raised) bool { return f.Flag.Act.Stops() && f.Stands(day) })
	if i < 0 {
		return nil
	}
	return &c.Flags[i]
}

// stop sets what stands against running and growth on the days of a plan: signs, whoever is
// in charge, and the gate. What has no end stands to the plan's last possible day.
func (c *Care) stop(out *ramp.Inputs, sets []ramp.Set, site rehab.Site) {
	last := out.Start + 7*ramp.MaxWeeks
	for i := range c.Flags {
		f := &c.Flags[i]
		s := ramp.Stop{DaySpan: load.DaySpan{First: f.From, Last: last}, Rule: LimitRedFlag, Why: flagWords(f)}
		if f.IsLifted {
			s.Last = f.Lifted - 1
		}
		switch {
		case f.Flag.Act.Stops():
			out.Stops = addStop(out.Stops, s, out.Start)
		case f.Flag.Act == rehab.ClinicianLed:
			s.Rule = load.LimitClinicianLed
			if typed, ok := typedSince(sets, f.At); ok {
				s.Last = min(s.Last, typed-1)
			}
			out.Stops = addStop(out.Stops, s, out.Start)
		default:
			out.Frozen = addStop(out.Frozen, s, out.Start)
		}
	}
	for _, s := range slices.Concat(holds(sets, last), c.gateStops(sets, site, last)) {
		out.Stops = addStop(out.Stops, s, out.Start)
	}
}

// addStop leaves out what has ended before a start.
func addStop(stops []ramp.Stop, s ramp.Stop, start load.Day) []ramp.Stop {
	if s.First = max(s.First, start); s.Last < s.First {
		return stops
	}
	return append(stops, s)
}

func flagWords(f *rehab.Raised) string { return fmt.Sprintf("%s: %s", lower(f.Flag.Sign), f.Flag.Do) }

// typedSince returns the day on which whoever is in charge first set or confirmed a ramp after
// an instant: limits that a clinician has typed (model 7).
func typedSince(sets []ramp.Set, at load.Instant) (day load.Day, ok bool) {
	i := slices.IndexFunc(sets, func(s ramp.Set) bool { return s.Charge && s.State == ramp.Running && s.At > at })
	if i < 0 {
		return 0, false
	}
	return sets[i].Day, true
}

// holds are the days on which a person has held the ramp, each up to the day on which
// something else was set.
func holds(sets []ramp.Set, last load.Day) (stops []ramp.Stop) {
	for i, s := range sets {
		if s.State != ramp.Held {
			continue
		}
		stop := ramp.Stop{DaySpan: load.DaySpan{First: s.Day, Last: last}, Rule: LimitHold, Why: holdWords(&s.Terms, s.Charge)}
		if s.Until > 0 {
			stop.Last = s.Until
		}
		if i+1 < len(sets) {
			stop.Last = min(stop.Last, sets[i+1].Day-1)
		}
		stops = append(stops, stop)
	}
	return stops
}

// holdWords says until when, and by whom only of somebody in charge: a runner whom a clinician
// leads, and a coach who may brake, hold too.
func holdWords(t *ramp.Terms, charge bool) string {
	text, until := "held", "it is lifted"
	if charge {
		text = "held by whoever is in charge"
	}
	if t.Until > 0 {
		until = t.Until.Spoken()
	}
	return text + ", until " + until
}

// gateStops are the days from a gate that was failed until one is passed, or whoever is in
// charge has set the ramp all the same and said why.
func (c *Care) gateStops(sets []ramp.Set, site rehab.Site, last load.Day) (stops []ramp.Stop) {
	for i := range c.Gates {
		g := &c.Gates[i]
		bar, failed := g.Failed(site)
		if !failed {
			continue
		}
		why := fmt.Sprintf("strength and walking only: on %s it was %s, and wanted is %s", g.Day.Spoken(), bar.Found, bar.Text)
		stop := ramp.Stop{DaySpan: load.DaySpan{First: g.Day, Last: last}, Rule: LimitGate, Why: why}
		for _, later := range c.Gates[i+1:] {
			if later.Open(site) {
				stop.Last = min(stop.Last, later.Day-1)
			}
		}
		for _, s := range sets {
			if s.Charge && s.State == ramp.Running && s.Why != "" && s.At > g.At {
				stop.Last = min(stop.Last, s.Day-1)
			}
		}
		stops = append(stops, stop)
	}
	return stops
}

// Stopped returns what stands against running on a day; ok is false where nothing does.
func (r *Ramp) Stopped(day load.Day) (s ramp.Stop, ok bool) {
	if r == nil || r.Refused != nil {
		return s, false
	}
	return ramp.StopOn(r.Plan.Inputs.Stops, day)
}
