package assess

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/rehab"
)

// triggers applies the rules about mornings up to today.
func (c *Care) triggers(today load.Day) (found []load.Trigger) {
	for i := range c.Records {
		r := &c.Records[i]
		found = append(found, flaredMornings(r)...)
		found = append(found, notSettled(r)...)
		found = append(found, risen(r, today)...)
		found = append(found, c.behind(r, today)...)
	}
	found = append(found, c.Ramp.overPlan(today)...)
	return append(found, c.flagTriggers(today)...)
}

func trigger(rule string, day load.Day, subject, unit, text string, value, limit float64) load.Trigger {
	source := load.FindRule(rule).Rests[0]
	return load.Trigger{Evidence: load.Evidence{
		Rule: rule, Day: day, Subject: subject, Level: load.Caution, Value: value, Limit: limit, Unit: unit,
		Text: text, Source: source.Cite, Strength: source.Strength,
	}, LastDay: day}
}

// since tells one episode of a complaint or a sign from a later one of the same: a
// finding is named after its subject.
func since(subject string, day load.Day) string { return subject + "-" + day.String() }

// flaredMornings tells each morning that flared, and by which rule.
func flaredMornings(r *rehab.Record) (found []load.Trigger) {
	for _, m := range r.Mornings {
		if m.Judgement.Verdict != load.Flared {
			continue
		}
		unit := "of 10"
		if m.Judgement.Rule == rehab.RuleStiffness {
			unit = "min"
		}
		found = append(found, trigger(load.RuleMorningFlared, m.Day, since(r.Complaint.ID, m.Day), unit, m.Words(), m.Judgement.Value, m.Judgement.Limit))
	}
	return found
}

// notSettled tells of two run mornings running that were unsettled, missing ones passed
// over.
func notSettled(r *rehab.Record) (found []load.Trigger) {
	before := load.NoVerdict
	for _, m := range r.Mornings {
		v := m.Judgement.Verdict
		if !m.Ran || v == load.Missing {
			continue
		}
		if v == load.Unsettled && before == load.Unsettled {
			found = append(found, trigger(load.RuleNotSettled, m.Day, since(r.Complaint.ID, m.Day), "mornings", "the second morning running after a run that was not settled: "+m.Words(), 2, 1))
		}
		before = v
	}
	return found
}

// behind tells of the days up to yesterday on whose seven days less than half of a programme
// was done; of today the rest may still be done. What follows within the quiet days is one
// finding, with the first of them as its subject, so that it keeps its ID.
func (c *Care) behind(r *rehab.Record, today load.Day) (found []load.Trigger) {
	courses := c.Plan.Courses(r, c.Grown, today)
	if len(courses) == 0 {
		return nil
	}
	for _, span := range r.Complaint.Spans(today) {
		for end := max(span.First, courses[0].Prescription.From); end <= min(today-1, span.Last); end++ {
			share, ok := c.Plan.Behind(r.Complaint.ID, courses, end)
			if !ok || goesOn(found, end) {
				continue
			}
			t := trigger(load.RuleProgrammeBehind, end, r.Complaint.ID+"-"+end.String(), "%",
				fmt.Sprintf("%.0f %% of what was set was done in seven days", 100*share), 100*share, 50)
			t.Level = load.Remark
			found = append(found, t)
		}
	}
	return found
}

// goesOn takes a day into the last of what was found if that was not quiet before it.
func goesOn(found []load.Trigger, day load.Day) bool {
	n := len(found)
	if n == 0 || day-found[n-1].LastDay > load.QuietDays {
		return false
	}
	found[n-1].LastDay = day
	return true
}

// How a week is held against the one before.
const (
	weekMornings = 4 // in both weeks
	weekPain     = 1 // points
	weekStiff    = 5 // minutes
)

// risen tells of days whose seven mornings rose over the seven before, from the first to the
// last of an episode.
func risen(r *rehab.Record, today load.Day) (found []load.Trigger) {
	for end := r.Complaint.Opened() + 13; end <= today; end++ {
		now, before := r.Week(end), r.Week(end-7)
		if now.Mornings < weekMornings || before.Mornings < weekMornings {
			continue
		}
		up := now.Pain >= before.Pain+weekPain
		stiffer := now.HasStiffness && before.HasStiffness && now.Stiffness >= before.Stiffness+weekStiff
		switch {
		case !up && !stiffer, goesOn(found, end):
		case up:
			found = append(found, trigger(load.RuleNotSettled, end, r.Complaint.ID, "of 10",
				fmt.Sprintf("the middle score of the week is %g, and was %g in the week before", now.Pain, before.Pain), now.Pain, before.Pain+weekPain))
		default:
			found = append(found, trigger(load.RuleNotSettled, end, r.Complaint.ID, "min",
				fmt.Sprintf("the middle stiffness of the week is %g min, and was %g in the week before", now.Stiffness, before.Stiffness), now.Stiffness, before.Stiffness+weekStiff))
		}
	}
	return found
}
