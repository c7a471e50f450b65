package assess

import (
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// causeDays is how far back a flare is looked into: 72 hours, as days.
const causeDays = 3

// Cause is what lay in the three days before a morning that flared. It says what was there,
// not that it did it.
type Cause struct {
	Morning load.Day
	Runs    []load.SessionRow // in order, in the measure of the picture
	New     []load.Evidence   // what the rules about load found of these days
	Longer  []LongerRun       // than every run of the two weeks before
	Done    []rehab.Done      // exercises, in order of entry
	Moved   []rehab.CourseStep
	Set     []rehab.Prescription // that began in these days
}

// LongerRun is a run that was more than a tenth longer than every other of the 14 days before
// it.
type LongerRun struct {
	load.SessionRow
	Before load.Amount // the longest of them
}

// What counts as longer; project defaults.
const (
	longerDays    = 14
	longerPercent = 110
)

// Nothing reports whether the logbook shows nothing that was new.
func (c *Cause) Nothing() bool { return len(c.New)+len(c.Longer)+len(c.Moved)+len(c.Set) == 0 }

// CauseOf looks into the days before a morning of a record. The picture must hold them.
func (c *Care) CauseOf(r *rehab.Record, p *Picture, morning load.Day) (cause Cause) {
	in := func(day load.Day) bool { return day >= morning-causeDays && day < morning }
	cause.Morning = morning
	for i, row := range p.Sessions {
		if !in(row.Day) {
			continue
		}
		cause.Runs = append(cause.Runs, row)
		if before := longestOf(p.Sessions[:i], row.Day-longerDays); before > 0 && row.Load*100 > before*longerPercent {
			cause.Longer = append(cause.Longer, LongerRun{row, before})
		}
	}
	for i := range p.Findings {
		for _, e := range p.Findings[i].Evidence {
			if in(e.Day) && load.FindRule(e.Rule).Cause == load.CauseLoad {
				cause.New = append(cause.New, e)
			}
		}
	}
	slices.SortStableFunc(cause.New, func(a, b load.Evidence) int { return int(a.Day) - int(b.Day) })
	for _, d := range c.Plan.Of(r.Complaint.ID) {
		if in(d.Day) {
			cause.Done = append(cause.Done, d)
		}
	}
	for _, course := range c.Plan.Courses(r, c.Grown, p.Day) {
		if in(course.Prescription.From) {
			cause.Set = append(cause.Set, course.Prescription)
		}
		for _, s := range course.Steps {
			if in(s.Day) && s.Day >= course.Prescription.From { // those before are of the course before too
				cause.Moved = append(cause.Moved, s)
			}
		}
	}
	return cause
}

// LastFlare returns the latest morning of a record that flared, up to so many days before
// today; ok is false where none did.
func LastFlare(r *rehab.Record, today load.Day, days int) (morning load.Day, ok bool) {
	for _, m := range slices.Backward(r.Mornings) {
		if m.Day <= today && int(today-m.Day) <= days && m.Judgement.Verdict == load.Flared {
			return m.Day, true
		}
	}
	return 0, false
}

// longestOf returns the longest of sessions from a day on; zero: there is none.
func longestOf(rows []load.SessionRow, from load.Day) (longest load.Amount) {
	for _, row := range rows {
		if row.Day >= from {
			longest = max(longest, row.Load)
		}
	}
	return longest
}
