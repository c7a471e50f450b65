package rehab

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"tidemark/load"
)

// Score is a whole number from 0, none, to 10, the worst imaginable.
type Score = uint8

// Morning is what was said of one complaint on a waking date: of the runs of the day
// before (during, an hour after, limping) and of the first steps of the morning. What is
// nil was not said.
type Morning struct {
	Complaint string
	Day       load.Day // the waking date
	Before    *Score   // before the run
	During    *Score   // worst of the run
	After     *Score   // an hour after
	Next      *Score   // first steps of the morning
	Stiffness *int     // minutes until it is as usual
	Limp      *bool
	Late      bool // Next was entered after the end of the waking date
}

// Check reports why the morning cannot be. Of today's run its first part may be said
// already: the waking date is tomorrow then.
func (m *Morning) Check(today load.Day) error {
	for _, s := range []struct {
		name  string
		score *Score
	}{{"before", m.Before}, {"during", m.During}, {"after", m.After}, {"next", m.Next}} {
		if s.score != nil && *s.score > MaxScore {
			return fmt.Errorf("%s %d: want 0 to %d", s.name, *s.score, MaxScore)
		}
	}
	switch {
	case m.Stiffness != nil && (*m.Stiffness < 0 || *m.Stiffness > MaxStiffness):
		return fmt.Errorf("stiffness %d: want 0 to %d min", *m.Stiffness, MaxStiffness)
	case m.Day > today+1:
		return fmt.Errorf("the morning of %v is still to come", m.Day)
	case m.Day == today+1 && (m.Next != nil || m.Stiffness != nil):
		return fmt.Errorf("the morning of %v is still to come: its score and stiffness cannot be known", m.Day)
	case m.Empty():
		return errors.New("nothing was said")
	}
	return nil
}

// Empty reports whether nothing was said.
func (m *Morning) Empty() bool {
	return m.Before == nil && m.During == nil && m.After == nil && m.Next == nil && m.Stiffness == nil && m.Limp == nil
}

// byDay orders mornings.
func byDay(a, b Morning) int { return cmp.Compare(a.Day, b.Day) }

// Of returns the mornings of one complaint, in order of day.
func Of(mornings []Morning, complaint string) (out []Morning) {
	for _, m := range mornings {
		if m.Complaint == complaint {
			out = append(out, m)
		}
	}
	slices.SortStableFunc(out, byDay)
	return out
}
