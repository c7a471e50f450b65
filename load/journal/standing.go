package journal

import (
	"context"
	"fmt"

	"tidemark/load"
	"tidemark/load/assess"
)

// Standing is how a runner stands on a day, in one row, so that lists over many
// runners need no book. It is derived from everything else about the runner.
type Standing struct {
	Runner   RunnerID
	Revision int64    // of the runner, that it was made from
	Day      load.Day // today, when it was made
	Versions Versions // set by PutStanding

	WeekDistance load.Amount // last 7 days, in millimetres
	WeekBefore   load.Amount // the 7 before
	HasBefore    bool        // they are known to be a whole week
	Tidemark     load.Amount // longest session of 30 days, in millimetres
	HasTidemark  bool
	Spike        float64 // share of the worst run of the last 7 days, over the longest of 30
	SpikeDay     load.Day
	HasSpike     bool
	LastRecord   load.Day
	HasRecord    bool
	RaceDay      load.Day // the next one
	RaceName     string
	HasRace      bool

	Whole Sight // with leave for medical detail
	Bare  Sight // without
	Cases []assess.Case
}

// Sight is the part of a standing that depends on what may be seen.
type Sight struct {
	Headroom
	Held         bool       // not to run,
	HeldUntil    load.Day   // until this day; 0: until it is lifted
	Worst        load.Level // of the open findings; Remark where there are none
	OpenFindings int
	Since        load.Day  // the day of the oldest open finding of the worst level
	Why          string    // its title, and what it rests on; empty: there is none
	Warnings     []Warning // the open findings, in order of day
}

// Warning is an open finding as lists show it.
type Warning struct {
	ID    string
	Rule  string
	Level load.Level
	Day   load.Day
	Text  string // what it rests on; empty: that is not said
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
	// Standings returns the rows of the runners with a grant of a person that stands; of
	// Local, of all. Those that have none are missing.
	Standings(Person) ([]Standing, error)
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

// fresh reports whether a row is of the runner as they are, on a day, by this version. Rows
// from before lists showed each warning hold none of those that they count.
func (s *Standing) fresh(r Runner, today load.Day, v Versions) bool {
	return s.Revision == r.Revision && s.Day == today && s.Versions == v && s.Whole.OpenFindings == len(s.Whole.Warnings)
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
		if !s.fresh(r, today, b.journal.versions) {
			s, err = Standing{}, notFound("fresh standing of", r.Name)
			return err
		}
		medical, err := b.sees(tx, RightMedical)
		if !medical {
			s = s.shared()
		}
		return err
	})
	return s, err
}

// shared is a standing for who may see no medical detail.
func (s Standing) shared() Standing {
	s.Whole, s.Cases = s.Bare, nil
	return s
}
