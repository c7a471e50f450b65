package assess

import (
	"errors"
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// The limits of the way back to running.
const (
	LimitRamp = "ramp"
	LimitHold = "hold"
)

// Ramp is the way back to running as of a day: what was set, and the plan that follows from
// what was run and said since.
type Ramp struct {
	Terms   ramp.Terms
	Plan    ramp.Plan
	Refused error // why there is no plan, in words; nil: there is one

	charge bool // Terms are of somebody in charge
}

// weeksAhead is how far a plan is shown beyond today at least.
const weeksAhead = 4

// ErrNothingHurts is why there is no ramp for who has no complaint.
var ErrNothingHurts = errors.New("nothing is followed, so there is no way back to plan")

// errBone is why a bone has no ramp.
var errBone = errors.New("a bone hurts: there is no plan for it here; see a doctor before you run")

// RampSite returns the site whose rules a ramp follows on a day: of several that are
// followed the one that asks for most rest. It is an error if nothing is, or a bone is.
func (c *Care) RampSite(day load.Day) (site rehab.Site, err error) {
	rest := -1
	for _, r := range c.Open(day) {
		if r.Complaint.Bone {
			return "", errBone
		}
		info, err := rehab.FindSite(r.Complaint.Site)
		if err != nil {
			return "", err
		}
		if n := 2*info.Gap + info.Settled; n > rest {
			site, rest = info.Site, n
		}
	}
	if rest < 0 {
		return "", ErrNothingHurts
	}
	return site, nil
}

// RampOf makes the plan of what was set as of the input's Today; the last setting stands. Of
// several complaints it is one, by the worst of their mornings. What the checker refuses is
// not shown.
func (c *Care) RampOf(in *load.Input, sets []ramp.Set) *Ramp {
	sets = planOf(sets)
	set := sets[len(sets)-1]
	r := &Ramp{Terms: set.Terms, charge: set.Charge}
	site, err := c.RampSite(in.Today)
	if err != nil {
		r.Refused = err
		return r
	}
	inputs := c.rampInputs(in, sets, site)
	if r.Refused = inputs.Check(); r.Refused != nil {
		return r
	}
	r.Plan = ramp.Make(&inputs)
	if err := ramp.Verify(&r.Plan); err != nil {
		r.Refused = fmt.Errorf("the plan does not pass its own check, so it is not shown: %w", err)
		return r
	}
	r.Plan.Checked = true
	return r
}

// rampInputs joins what was set with what was run and said.
func (c *Care) rampInputs(in *load.Input, sets []ramp.Set, site rehab.Site) ramp.Inputs {
	out := sets[len(sets)-1].Inputs(site)
	for _, r := range c.Open(in.Today) {
		if r.Complaint.Site != site && !slices.Contains(out.Also, r.Complaint.Site) {
			out.Also = append(out.Also, r.Complaint.Site)
		}
	}
	if last := in.Today + 7*weeksAhead; last > out.Start {
		out.Weeks = max(out.Weeks, min(ramp.MaxWeeks, int(last-out.Start)/7+1))
	}
	h := load.NewHistory(in, load.RunTime)
	if !h.Empty() {
		for _, row := range h.SessionRows(max(h.First(), out.Start-rampPast), in.Today) {
			if m := load.RunTime.In(row.Load); m > 0 {
				out.Past = append(out.Past, ramp.Past{Day: row.Day, Run: ramp.Minutes(min(m, ramp.MostRun))})
			}
		}
	}
	if out.Start < in.Today {
		out.Missed = []load.DaySpan{{First: out.Start, Last: in.Today - 1}}
	}
	c.rampMornings(&out, in.Today)
	c.raise(&out, sets)
	c.stop(&out, sets, site)
	out.Asked, out.Reviewed = true, c.reviewed(&sets[0])
	return out
}

// Waiting returns the stage that waits for whoever is in charge, and since when; ok is false
// where none does.
func (r *Ramp) Waiting(today load.Day) (stage int, since load.Day, ok bool) {
	if r == nil || r.Refused != nil {
		return 0, 0, false
	}
	for i := range r.Plan.Days {
		d := &r.Plan.Days[i]
		if d.Day >= today || !r.Plan.Inputs.DoneOn(d.Day) {
			continue
		}
		switch {
		case d.Waits == 0:
			ok = false
		case !ok || d.Waits != stage:
			stage, since, ok = d.Waits, d.Day+1, true
		}
	}
	return stage, since, ok && r.Plan.Inputs.RoofOn(today) < stage
}

// rampPast is how many days before a start its caps look at.
const rampPast = 41

// rampMornings takes of each date the morning that judged worst, with what was usual of that
// complaint.
func (c *Care) rampMornings(out *ramp.Inputs, today load.Day) {
	out.Bases = make(map[load.Day]rehab.Baseline)
	for _, r := range c.Open(today) {
		if n := len(r.Mornings); n > 0 && r.Mornings[n-1].Base.Pain >= out.Base.Pain {
			out.Base = r.Mornings[n-1].Base
		}
	}
	for _, m := range worstOf(c.Open(today)) {
		m.Complaint = "" // of all
		out.Bases[m.Day] = m.Base
		if m.Ran {
			out.Mornings = append(out.Mornings, m.Morning)
		} else {
			out.Resting = append(out.Resting, m.Morning)
		}
	}
}

// On returns a day of the plan; ok is false outside of it and where there is none.
func (r *Ramp) On(day load.Day) (d *ramp.Day, ok bool) {
	if r == nil || r.Refused != nil || day < r.Terms.Start || int(day-r.Terms.Start) >= len(r.Plan.Days) {
		return nil, false
	}
	return &r.Plan.Days[day-r.Terms.Start], true
}

// Next returns the first day from a day on that holds a run which was not done yet; ok is
// false where none is in sight. Of a plan that has not begun it is the first.
func (r *Ramp) Next(from load.Day) (d *ramp.Day, ok bool) {
	if r == nil {
		return nil, false
	}
	for day := max(from, r.Terms.Start); ; day++ {
		d, ok := r.On(day)
		if !ok {
			return nil, false
		}
		if d.Kind == ramp.Run && !r.Plan.Inputs.DoneOn(day) {
			return d, true
		}
	}
}

// Step returns where a run of the plan stands as a roof counts: its stage, one above the
// ladder in the growth, and one more with each addition.
func (r *Ramp) Step(d *ramp.Day) int {
	if d.Stage > 0 {
		return d.Stage
	}
	order := ramp.Additions(append([]rehab.Site{r.Plan.Inputs.Site}, r.Plan.Inputs.Also...))
	return len(r.Plan.Ladder) + 2 + slices.Index(order, d.Adds)
}

// limits are what the ramp leaves of a day: the hold of a person, and the stage
// of the day, which on the ladder stands alone. ok is false while no ramp runs.
func (r *Ramp) limits(h *load.History, day load.Day, before load.Instant) (limits []load.Limit, ok bool) {
	if r == nil {
		return nil, false
	}
	if r.Terms.HeldOn(day) {
		limits = append(limits, load.Limit{Rule: LimitHold, Why: holdWords(&r.Terms, r.charge)})
	}
	if s, ok := r.Stopped(day); ok && s.Rule == LimitGate {
		limits = append(limits, load.Limit{Rule: LimitHold, Why: s.Why})
	}
	d, ok := r.On(day)
	if !ok {
		return limits, false
	}
	l := load.Limit{Rule: LimitRamp, Alone: d.Stage > 0 || d.Kind == ramp.Rest && !r.grown(day), Why: d.Reason}
	if !h.Empty() && day >= h.First() {
		l.Value, _ = h.RunBefore(day, before)
	}
	switch {
	case r.Plan.Inputs.DoneOn(day):
		l.Limit, l.Why = l.Value, "today's run is done"
	case d.Kind == ramp.Run:
		l.Limit = h.Easy(float64(d.Total))
	default:
		l.Limit, l.Value = 0, 0
		if next, ok := r.Next(day + 1); ok {
			l.Why += "; the next run is on " + next.Day.Spoken()
		}
	}
	return append(limits, l), true
}

// grown reports whether the ladder was done before a day.
func (r *Ramp) grown(day load.Day) bool {
	for d := day - 1; ; d-- {
		at, ok := r.On(d)
		if !ok {
			return false
		}
		if at.Kind == ramp.Run && !r.Plan.Inputs.DoneOn(d) {
			return at.Stage == 0
		}
	}
}

// overPlan tells of runs that the ramp did not have: over its caps, or on its rest days.
func (r *Ramp) overPlan(today load.Day) (found []load.Trigger) {
	if r == nil || r.Refused != nil {
		return nil
	}
	for i := range r.Plan.Days {
		d := &r.Plan.Days[i]
		if d.Over == "" || d.Day > today {
			continue
		}
		limit := d.Session
		t := trigger(load.RuleOverPlan, d.Day, d.Day.String(), "min", fmt.Sprintf("%.0f min of running, %s", float64(d.Total), d.Over), float64(d.Total), float64(limit))
		found = append(found, t)
	}
	return found
}
