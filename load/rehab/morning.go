package rehab

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

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
	Late      bool // Next was said after the end of the waking date alone

	// LateRun and LateStiff: so was the worst during or an hour after, and the stiffness.
	LateRun, LateStiff bool
	// WasNext and WasStiff are what was said on time, where it was said worse later; nil: as it
	// stands.
	WasNext  *Score
	WasStiff *int
}

// Worsen takes of each part whatever another one says worse.
func (m *Morning) Worsen(by *Morning) {
	m.Before, m.During, m.After = worse(m.Before, by.Before), worse(m.During, by.During), worse(m.After, by.After)
	m.Next, m.Stiffness = worse(m.Next, by.Next), worse(m.Stiffness, by.Stiffness)
	if m.Limp == nil || by.Limp != nil && *by.Limp {
		m.Limp = by.Limp
	}
}

func worse[T cmp.Ordered](a, b *T) *T {
	if a == nil || b != nil && *b > *a {
		return b
	}
	return a
}

// WithLate joins what was said on time with what was said after the end of the date: of each
// part the worst stands, and what is known late alone is marked (model 7: a late bad score
// locks, none unlocks).
func (m Morning) WithLate(late *Morning) Morning {
	out := m
	out.Worsen(late)
	out.Late = m.Next == nil && late.Next != nil
	out.LateRun = m.During == nil && late.During != nil || m.After == nil && late.After != nil
	out.LateStiff = m.Stiffness == nil && late.Stiffness != nil
	if out.Next != m.Next {
		out.WasNext = m.Next
	}
	if out.Stiffness != m.Stiffness {
		out.WasStiff = m.Stiffness
	}
	return out
}

// SaidLate reports whether something of it is known only since its date has ended.
func (m *Morning) SaidLate() bool {
	return m.Late || m.LateRun || m.LateStiff || m.WasNext != nil || m.WasStiff != nil
}

// usual returns what was said on time, of which a baseline and trends may be made; nil: not
// said then.
func (m *Morning) usual() (next *Score, stiffness *int) {
	if !m.Late {
		next = cmp.Or(m.WasNext, m.Next)
	}
	if !m.LateStiff {
		stiffness = cmp.Or(m.WasStiff, m.Stiffness)
	}
	return next, stiffness
}

// CheckEntered reports why the morning cannot have been told at an instant: before its date
// began in home, or before that of the run where no more than the run is told, or after now.
func (m *Morning) CheckEntered(at, now load.Instant, home *time.Location) error {
	first, what := m.Day, "the morning"
	if m.Next == nil && m.Stiffness == nil {
		first, what = m.Day-1, "the day of the run"
	}
	switch on := load.DayOf(at.Time().In(home)); {
	case at > now:
		return fmt.Errorf("entered %v, and that is still to come", on)
	case on < first:
		return fmt.Errorf("entered %v, before %s of %v", on, what, first)
	}
	return nil
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
