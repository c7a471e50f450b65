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

// AddMornings keeps entries about mornings, all or none; entered is when they were typed,
// zero: now. An entry of a complaint that is not there is ErrNotFound.
func (b *Book) AddMornings(ctx context.Context, entries []Morning) error {
	return b.write(ctx, RightMedical, func(tx Tx) (bool, error) {
		today, err := b.today(tx)
		if err != nil {
			return false, err
		}
		rows, err := tx.Complaints(b.runner)
		if err != nil {
			return false, err
		}
		for _, m := range entries {
			if !slices.ContainsFunc(rows, func(c Complaint) bool { return c.ID == m.Complaint }) {
				return false, notFound("complaint", m.Complaint)
			}
			if err := m.Check(today); err != nil {
				return false, fmt.Errorf("add morning: %w", err)
			}
			m.By, m.Entered = b.person, cmp.Or(m.Entered, b.now())
			if err := tx.PutMorning(b.runner, m); err != nil {
				return false, err
			}
		}
		return len(entries) > 0, nil
	})
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
