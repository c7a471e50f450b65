package journal

import (
	"cmp"
	"context"
	"fmt"
	"time"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Morning is one entry about a morning. Entries are added, never changed: of each part the
// last one that said something stands.
type Morning struct {
	rehab.Morning              // Late is not set
	Entered       load.Instant // when it was typed
	By            Person
}

// MorningTx keeps mornings.
type MorningTx interface {
	PutMorning(RunnerID, Morning) error
	Mornings(RunnerID) ([]Morning, error) // in order of entry
}

// MorningError says why an entry about a morning is not kept.
type MorningError struct {
	Complaint string
	Day       load.Day
	Err       error
}

func (e *MorningError) Error() string {
	return fmt.Sprintf("morning of %v, %s: %v", e.Day, e.Complaint, e.Err)
}

func (e *MorningError) Unwrap() error { return e.Err }

// AddMornings keeps entries about mornings, all or none, and returns how many said
// something new; entered is when they were typed, zero: now. A complaint is named by its
// ID, or as SITE:SIDE: of these the last one that is followed, else the last. An entry that
// cannot be is a *MorningError; around ErrNotFound where its complaint is not there.
func (b *Book) AddMornings(ctx context.Context, entries []Morning) (added int, err error) {
	err = b.write(ctx, RightRecord, func(tx Tx) (bool, error) {
		added = 0
		runner, err := tx.Runner(b.runner)
		if err != nil {
			return false, err
		}
		today, err := runner.Today(b.now())
		if err != nil {
			return false, err
		}
		home, err := runner.zone()
		if err != nil {
			return false, err
		}
		all, err := complaints(tx, b.runner)
		if err != nil {
			return false, err
		}
		kept, err := tx.Mornings(b.runner)
		if err != nil {
			return false, err
		}
		standing := standingMornings(kept)
		for _, m := range entries {
			named := m.Complaint
			c, ok := rehab.Named(all, named)
			if !ok {
				return false, &MorningError{named, m.Day, fmt.Errorf("nothing of that name is followed, say first what hurts: %w", ErrNotFound)}
			}
			m.Complaint, m.By, m.Entered = c.ID, b.person, cmp.Or(m.Entered, b.now())
			if err := cmp.Or(m.Check(today), c.CheckMorning(m.Day), m.CheckEntered(m.Entered, b.now(), home)); err != nil {
				return false, &MorningError{named, m.Day, err}
			}
			if !standing.learns(&m.Morning) {
				continue
			}
			if err := tx.PutMorning(b.runner, m); err != nil {
				return false, err
			}
			added++
		}
		return added > 0, nil
	})
	return added, err
}

// spoken is what stands of each morning, by complaint and day.
type spoken map[string]*rehab.Morning

func standingMornings(entries []Morning) spoken {
	s := make(spoken)
	for i := range entries {
		s.learns(&entries[i].Morning)
	}
	return s
}

// learns takes what an entry says, and reports whether any of it is new.
func (s spoken) learns(m *rehab.Morning) bool {
	key := fmt.Sprintf("%s %d", m.Complaint, m.Day)
	old := s[key]
	if old == nil {
		old = &rehab.Morning{}
		s[key] = old
	}
	changed := take(&old.Before, m.Before)
	changed = take(&old.During, m.During) || changed
	changed = take(&old.After, m.After) || changed
	changed = take(&old.Next, m.Next) || changed
	changed = take(&old.Stiffness, m.Stiffness) || changed
	return take(&old.Limp, m.Limp) || changed
}

// take sets a value to what was said, if that is something new.
func take[T comparable](to **T, said *T) bool {
	if said == nil || *to != nil && **to == *said {
		return false
	}
	*to = said
	return true
}

// Entries returns every entry about mornings, in order of entry.
func (b *Book) Entries(ctx context.Context) (out []Morning, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		out, err = tx.Mornings(b.runner)
		return err
	})
	return out, err
}

// told is what was said of a morning before the end of its date where the runner lives, the
// last of each part, and after it, the worst.
type told struct{ onTime, late rehab.Morning }

// mergedMornings makes one morning of the entries about it. What was said late takes nothing
// back: of each part the worst stands.
func mergedMornings(entries []Morning, home *time.Location) (out []rehab.Morning) {
	at := make(map[string]int)
	var all []told
	for _, e := range entries {
		key := fmt.Sprintf("%s %d", e.Complaint, e.Day)
		i, ok := at[key]
		if !ok {
			i = len(all)
			at[key] = i
			all = append(all, told{onTime: rehab.Morning{Complaint: e.Complaint, Day: e.Day}})
		}
		m := &all[i].onTime
		if load.DayOf(e.Entered.Time().In(home)) > e.Day {
			all[i].late.Worsen(&e.Morning)
			continue
		}
		m.Before, m.During, m.After = cmp.Or(e.Before, m.Before), cmp.Or(e.During, m.During), cmp.Or(e.After, m.After)
		m.Next, m.Stiffness, m.Limp = cmp.Or(e.Next, m.Next), cmp.Or(e.Stiffness, m.Stiffness), cmp.Or(e.Limp, m.Limp)
	}
	for i := range all {
		out = append(out, all[i].onTime.WithLate(&all[i].late))
	}
	return out
}
