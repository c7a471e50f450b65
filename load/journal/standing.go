package journal

import (
	"context"
	"fmt"

	"tidemark/load"
)

// Standing is how a runner stands on a day, in one row, so that lists over many
// runners need no book. It is derived from everything else about the runner.
type Standing struct {
	Runner   RunnerID
	Revision int64    // of the runner, that it was made from
	Day      load.Day // today, when it was made
	Versions Versions // set by PutStanding

	WeekDistance load.Amount // last 7 days, in millimetres
	Tidemark     load.Amount // longest session of 30 days, in millimetres
	HasTidemark  bool
	Headroom     Headroom

	Worst        load.Level // of the open findings; Remark where there are none
	OpenFindings int
	LastRecord   load.Day
	HasRecord    bool
}

// Headroom is the part of a headroom that a list shows.
type Headroom struct {
	State     string
	Measure   load.Measure
	Amount    load.Amount // in the measure's smallest part
	HasAmount bool
	Decides   string // the limit that does
}

// StandingTx keeps standing rows, which are derived.
type StandingTx interface {
	PutStanding(Standing) error          // adds or replaces
	Standing(RunnerID) (Standing, error) // ErrNotFound: none
}

// PutStanding keeps how the runner stands. It raises no revision. If the runner
// has changed since the revision that s was made from, it is ErrConflict.
func (b *Book) PutStanding(ctx context.Context, s Standing) error {
	s.Runner, s.Versions = b.runner, b.journal.versions
	return b.write(ctx, RightLoad, func(tx Tx) (bool, error) {
		r, err := tx.Runner(b.runner)
		if err != nil {
			return false, err
		}
		if r.Revision != s.Revision {
			return false, fmt.Errorf("keep standing of revision %d, now %d: %w", s.Revision, r.Revision, ErrConflict)
		}
		return false, tx.PutStanding(s)
	})
}

// Standing returns how the runner stands today. It is ErrNotFound if no row was
// made yet, or if the row is stale: of another revision, day or version.
func (b *Book) Standing(ctx context.Context, today load.Day) (s Standing, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		r, err := tx.Runner(b.runner)
		if err != nil {
			return err
		}
		if s, err = tx.Standing(b.runner); err != nil {
			return err
		}
		if s.Revision != r.Revision || s.Day != today || s.Versions != b.journal.versions {
			s, err = Standing{}, notFound("fresh standing of", r.Name)
		}
		return err
	})
	return s, err
}
