package assess

import (
	"slices"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// raise sets how far a ramp whose stages wait may go: as its terms say, or as far as standing
// orders do, and since when.
func (c *Care) raise(out *ramp.Inputs, today load.Day) {
	if !out.Confirm {
		return
	}
	most := ramp.MostRoof(len(out.Ladder))
	set := out.Roof
	out.Roof = min(max(set, c.orderedStage(today, today)), most)
	for _, day := range c.saidOn(out.Start) {
		roof := set
		if len(c.roofs) > 0 {
			roof = 0
		}
		for _, l := range c.roofs {
			if l.Day <= day {
				roof = l.Roof
			}
		}
		out.Lifts = append(out.Lifts, ramp.Lift{Day: day, Roof: min(max(roof, c.orderedStage(day, today)), most)})
	}
}

// saidOn lists the start and the days after it on which a roof or an order was said, in order;
// none if their days are not known.
func (c *Care) saidOn(start load.Day) (days []load.Day) {
	for _, l := range c.roofs {
		days = append(days, max(start, l.Day))
	}
	for _, day := range c.given {
		days = append(days, max(start, day))
	}
	if len(days) > 0 {
		days = append(days, start)
	}
	slices.Sort(days)
	return slices.Compact(days)
}

// orderedStage returns the stage up to which the standing orders of all that is followed, as
// they stood on a day, allow the ramp to go on by itself; 0: they do not.
func (c *Care) orderedStage(day, today load.Day) (stage int) {
	for i, r := range c.Open(today) {
		order := c.orderOn(r.Complaint.ID, day)
		if today > order.Until {
			order.Stage = 0
		}
		if i == 0 || order.Stage < stage {
			stage = order.Stage
		}
	}
	return stage
}

// orderOn returns the last order of a complaint that was given up to a day.
func (c *Care) orderOn(complaint string, day load.Day) (order rehab.Order) {
	for i, o := range c.Plan.Orders {
		if o.Complaint == complaint && (i >= len(c.given) || c.given[i] <= day) {
			order = o
		}
	}
	return order
}
