package ramp

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// The bounds of what may be asked for; common practice, no source.
const (
	leastPace, mostPace = 2, 20   // min per km
	mostKm              = 200     // of a goal
	MostRun             = 24 * 60 // min, of a day
	leastBMI, mostBMI   = 10, 80
)

// Check reports why no plan can be made of the inputs, in words.
func (in *Inputs) Check() error {
	if in.Bone {
		return errors.New("a bone hurts: no plan is made of it here; see a doctor before you run")
	}
	if _, err := rehab.FindSite(in.Site); err != nil {
		return err
	}
	if in.Weeks < 1 || in.Weeks > MaxWeeks {
		return fmt.Errorf("%d weeks: want 1 to %d", in.Weeks, MaxWeeks)
	}
	if in.Free == [7]bool{} {
		return errors.New("no day of the week is free: want one at least")
	}
	if !inRange(in.BMI, leastBMI, mostBMI) && in.BMI != 0 {
		return fmt.Errorf("body mass index %g: want %d to %d", in.BMI, leastBMI, mostBMI)
	}
	base := rehab.Base{Pain: &in.Base.Pain}
	if in.Base.HasStiffness {
		base.Stiffness = &in.Base.Stiffness
	}
	if in.Ladder != nil {
		if err := CheckLadder(in.Ladder); err != nil {
			return err
		}
	}
	if in.First < 0 || in.First > len(in.stages()) {
		return fmt.Errorf("stage %d: the ladder has %d", in.First, len(in.stages()))
	}
	return errors.Join(base.Check(), in.Goal.check(), in.checkPast(), in.checkMornings(), in.checkStops())
}

func inRange(v, least, most float64) bool { return v >= least && v <= most }

func (g *Goal) check() error {
	if g.Km != 0 && !(g.Km > 0 && g.Km <= mostKm) {
		return fmt.Errorf("goal of %g km: want more than 0, up to %d", g.Km, mostKm)
	}
	if g.Km != 0 && g.Pace == 0 {
		return errors.New("a goal in km needs the easy pace")
	}
	if g.Pace != 0 && !inRange(g.Pace, leastPace, mostPace) {
		return fmt.Errorf("pace of %g min per km: want %d to %d", g.Pace, leastPace, mostPace)
	}
	if g.IsBy && g.Km == 0 {
		return fmt.Errorf("wanted by %v, but no goal in km", g.By)
	}
	return nil
}

func (in *Inputs) checkPast() error {
	for _, r := range in.Past {
		if math.IsNaN(float64(r.Run)) || r.Run <= 0 || r.Run > MostRun {
			return fmt.Errorf("run of %g min on %v: want more than 0, up to %d", float64(r.Run), r.Day, MostRun)
		}
	}
	for _, s := range in.Missed {
		if s.Last < s.First {
			return fmt.Errorf("missed from %v to %v: the end is before the beginning", s.First, s.Last)
		}
	}
	return nil
}

func (in *Inputs) checkStops() error {
	for _, s := range slices.Concat(in.Stops, in.Frozen) {
		if s.Last < s.First {
			return fmt.Errorf("stopped from %v to %v: the end is before the beginning", s.First, s.Last)
		}
	}
	if !slices.IsSortedFunc(in.Lifts, func(a, b Lift) int { return int(a.Day) - int(b.Day) }) {
		return errors.New("the stages that are allowed are not in order of day")
	}
	return nil
}

func (in *Inputs) checkMornings() error {
	seen := map[load.Day]bool{}
	for _, m := range slices.Concat(in.Mornings, in.Resting) {
		if seen[m.Day] {
			return fmt.Errorf("two mornings of %v: want one", m.Day)
		}
		seen[m.Day] = true
		for _, s := range []*rehab.Score{m.During, m.After, m.Next} {
			if s != nil && *s > rehab.MaxScore {
				return fmt.Errorf("morning of %v: score %d: want 0 to %d", m.Day, *s, rehab.MaxScore)
			}
		}
		if m.Stiffness != nil && (*m.Stiffness < 0 || *m.Stiffness > rehab.MaxStiffness) {
			return fmt.Errorf("morning of %v: stiffness %d: want 0 to %d min", m.Day, *m.Stiffness, rehab.MaxStiffness)
		}
	}
	return nil
}
