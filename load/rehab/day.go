package rehab

import "tidemark/load"

// DueDose is a dose of a day, with how many times it was done of how many.
type DueDose struct {
	Dose
	Info Exercise
	Done int // times on the day
}

// Left returns how many times are still to be done.
func (d *DueDose) Left() int { return max(0, d.PerDay-d.Done) }

// DueOn returns what the last day of a course holds: the doses that are due after what was
// done before, and those that were done on the day all the same.
func (c *Course) DueOn(log []Done) (due []DueDose) {
	return dueOf(c.Doses(), log, c.Last)
}

func dueOf(doses []Dose, log []Done, day load.Day) (due []DueDose) {
	for _, d := range doses {
		times, logged := d.timesOn(log, day)
		if !logged && !d.DueOn(log, day) {
			continue
		}
		e, err := FindExercise(d.Exercise)
		if err != nil {
			continue // of a newer version
		}
		due = append(due, DueDose{d, e, times})
	}
	return due
}

// ShareOn returns how much of what was due on a day was done, 0 to 1; ok is false where
// nothing was due.
func ShareOn(courses []Course, log []Done, day load.Day) (share float64, ok bool) {
	phase, ok := setOn(courses, day)
	if !ok {
		return 0, false
	}
	due := dueOf(phase.Doses, log, day)
	for i := range due {
		d := &due[i]
		did := 0.0
		for _, done := range log {
			if done.Exercise == d.Exercise && done.Day == day {
				did += work(done.Sets, done.Reps, done.Hold, done.Minutes)
			}
		}
		share += min(1, did/(work(d.Sets, d.Reps, d.Hold, d.Minutes)*float64(d.PerDay))) / float64(len(due))
	}
	return share, len(due) > 0
}
