package journal

import (
	"cmp"
	"context"
	"fmt"
	"slices"
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
// ID, or as SITE:SIDE the last one of these. An entry that cannot be is a *MorningError;
// around ErrNotFound where its complaint is not there.
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
		rows, err := tx.Complaints(b.runner)
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
			if m.Complaint = complaintOf(rows, named); m.Complaint == "" {
				return false, &MorningError{named, m.Day, fmt.Errorf("nothing of that name is followed, say first what hurts: %w", ErrNotFound)}
			}
			if err := m.Check(today); err != nil {
				return false, &MorningError{named, m.Day, err}
			}
			if !standing.learns(&m.Morning) {
				continue
			}
			m.By, m.Entered = b.person, cmp.Or(m.Entered, b.now())
			if err := tx.PutMorning(b.runner, m); err != nil {
				return false, err
			}
			added++
		}
		return added > 0, nil
	})
	return added, err
}

// complaintOf returns the ID of the complaint that is named by it, or as SITE:SIDE.
func complaintOf(rows []Complaint, name string) string {
	for _, c := range slices.Backward(rows) {
		if c.ID == name || string(c.Site)+":"+string(c.Side) == name {
			return c.ID
		}
	}
	return ""
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

// mergedMornings makes one morning of the entries about it. It is late if the score that
// stands was typed after the end of its date where the runner lives.
func mergedMornings(entries []Morning, home *time.Location) []rehab.Morning {
	at := make(map[string]int)
	var out []rehab.Morning
	for _, e := range entries {
		key := fmt.Sprintf("%s %d", e.Complaint, e.Day)
		i, ok := at[key]
		if !ok {
			i = len(out)
			at[key] = i
			out = append(out, rehab.Morning{Complaint: e.Complaint, Day: e.Day})
		}
		m := &out[i]
		m.Before, m.During, m.After = cmp.Or(e.Before, m.Before), cmp.Or(e.During, m.During), cmp.Or(e.After, m.After)
		m.Stiffness, m.Limp = cmp.Or(e.Stiffness, m.Stiffness), cmp.Or(e.Limp, m.Limp)
		if e.Next != nil && (m.Next == nil || *m.Next != *e.Next) {
			m.Next, m.Late = e.Next, load.DayOf(e.Entered.Time().In(home)) > e.Day
		}
	}
	return out
}
