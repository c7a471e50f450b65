package assess

import (
	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Course is where a plan leads: the days on which it first holds so much.
type Course struct {
	Name       string
	Continuous load.Day // 30 min without a walk; 0: not in sight
	Top        load.Day // the last stage
	Goal       load.Day // what is wanted; 0: nothing is, or not in sight
	Refused    error
}

// courseWeeks is how far courses are looked at beyond today.
const courseWeeks = 52

// Courses hold the plan of today against what would become of it: a flare, a morning that
// does not settle, weeks away, every day free, and runs half as long before. All the
// mornings else are taken as settled. The first is the plan itself.
func (r *Ramp) Courses(today load.Day) (out []Course) {
	if r == nil || r.Refused != nil {
		return nil
	}
	next, runs := r.Next(today)
	add := func(name string, change func(*ramp.Inputs)) {
		in := r.Plan.Inputs
		in.Weeks = min(ramp.MaxWeeks, max(in.Weeks, int(today-in.Start)/7+courseWeeks))
		if !runs {
			asUsual(&in, today+2)
		}
		change(&in)
		out = append(out, courseOf(name, &in))
	}
	add("as it is", func(*ramp.Inputs) {})
	if runs {
		add("the next run flares", func(in *ramp.Inputs) { answer(in, next.Day, flareScore); asUsual(in, next.Day+2) })
		add("the next run does not settle", func(in *ramp.Inputs) { answer(in, next.Day, unsettledScore) })
	}
	away := func(days load.Day) func(*ramp.Inputs) {
		return func(in *ramp.Inputs) {
			in.Missed = append(in.Missed[:len(in.Missed):len(in.Missed)], load.DaySpan{First: today + 1, Last: today + days})
		}
	}
	add("a week away from tomorrow", away(7))
	add("three weeks away from tomorrow", away(21))
	add("every day free", func(in *ramp.Inputs) { in.Free = [7]bool{true, true, true, true, true, true, true} })
	add("half as much run before", func(in *ramp.Inputs) {
		past := make([]ramp.Past, len(in.Past))
		for i, p := range in.Past {
			past[i] = ramp.Past{Day: p.Day, Run: p.Run / 2}
		}
		in.Past = past
	})
	return out
}

// What a worst during a run would say of it: above the limits of a flare, and of settled.
const (
	flareScore     = 6
	unsettledScore = 3
)

// asUsual takes the morning of a date, after a day without a run, as usual: it ends a flare.
func asUsual(in *ramp.Inputs, date load.Day) {
	usual, stiffness := rehab.Score(in.Base.Pain), int(in.Base.Stiffness)
	m := rehab.Morning{Day: date, Next: &usual, Stiffness: &stiffness}
	in.Resting = append(in.Resting[:len(in.Resting):len(in.Resting)], m)
}

// answer lets the morning after a run say how it was at worst during it, and else as usual.
func answer(in *ramp.Inputs, run load.Day, during rehab.Score) {
	none := rehab.Score(0)
	m := rehab.Morning{Day: run + 1, During: &during, After: &none, Next: &none}
	in.Mornings = append(in.Mornings[:len(in.Mornings):len(in.Mornings)], m)
}

func courseOf(name string, in *ramp.Inputs) Course {
	c := Course{Name: name, Refused: in.Check()}
	if c.Refused != nil {
		return c
	}
	plan := ramp.Make(in)
	if c.Refused = ramp.Verify(&plan); c.Refused != nil {
		return c
	}
	c.Goal = plan.Earliest
	for i := range plan.Days {
		d := &plan.Days[i]
		if c.Continuous == 0 && d.Kind == ramp.Run && d.Run >= continuousMin {
			c.Continuous = d.Day
		}
		if c.Top == 0 && d.Stage == len(plan.Ladder) {
			c.Top = d.Day
		}
	}
	return c
}

// continuousMin is a run without a walk that counts as one.
const continuousMin = 30
