package assess

import (
	"slices"

	"tidemark/load"
	"tidemark/load/ramp"
)

// planOf returns the settings of the plan that was set last, in order: the trailing ones that
// are of one plan.
func planOf(sets []ramp.Set) []ramp.Set {
	first := len(sets) - 1
	for first > 0 && sets[first-1].SamePlan(&sets[len(sets)-1]) {
		first--
	}
	return sets[first:]
}

// raise sets how far stages go up on each day, as was said by then: by the setting that stood,
// or by standing orders. What is said today acts on no day before.
func (c *Care) raise(out *ramp.Inputs, sets []ramp.Set) {
	out.Confirm = slices.ContainsFunc(sets, func(s ramp.Set) bool { return s.Confirm })
	out.Roof = 0
	if !out.Confirm {
		return
	}
	most := ramp.MostRoof(len(out.Ladder))
	before := 0
	for day := out.Start; day < out.Start+7*load.Day(out.Weeks); day++ {
		roof := min(max(setRoof(sets, day, most), c.orderedStage(day)), most)
		if roof != before {
			out.Lifts = append(out.Lifts, ramp.Lift{Day: day, Roof: roof})
			before = roof
		}
	}
}

// setRoof returns the roof of the setting that stood on a day. Before the first the stages
// waited if they do in it.
func setRoof(sets []ramp.Set, day load.Day, most int) (roof int) {
	if !sets[0].Confirm {
		roof = most
	}
	for _, s := range sets {
		switch {
		case s.Day > day:
		case s.Confirm:
			roof = s.Roof
		default:
			roof = most
		}
	}
	return roof
}

// orderedStage returns the stage up to which the standing orders of all that is followed
// allow the ramp to go on by itself on a day; 0: they do not.
func (c *Care) orderedStage(day load.Day) (stage int) {
	for i, r := range c.Open(day) {
		order := c.Plan.OrderOn(r.Complaint.ID, day)
		if i == 0 || order.Stage < stage {
			stage = order.Stage
		}
	}
	return stage
}

// reviewed reports whether whoever is in charge has set a plan anew after the flares before
// it, at a stage of their own or with a reason (rehab reference 5.5: a review is needed).
func (c *Care) reviewed(first *ramp.Set) bool {
	if !first.Charge || first.First == 0 && first.Why == "" {
		return false
	}
	flares := c.flared(first.Start)
	n := len(flares)
	return n > 0 && flares[n-1].Last < first.Start && flares[n-1].Last <= first.Day
}
