package journal

import (
	"context"
	"fmt"
	"slices"

	"tidemark/load"
)

// Race is what a person said of a race to come. Rows are added, never changed; of
// each day the last one stands.
type Race struct {
	Day      load.Day
	Name     string
	Distance load.Amount // in load.Distance; zero: not said
	Off      bool        // it is not run after all
	By       Person
	At       load.Instant
}

// RaceTx keeps what was said of races.
type RaceTx interface {
	PutRace(RunnerID, Race) error
	Races(RunnerID) ([]Race, error) // in order of entry
}

// PlanRace keeps a race on a day, or with off that it is not run after all. It is an
// error if the race cannot be.
func (b *Book) PlanRace(ctx context.Context, r load.PlannedRace, off bool) error {
	if err := r.Check(); err != nil {
		return fmt.Errorf("plan race: %w", err)
	}
	return b.write(ctx, RightAdvise, func(tx Tx) (bool, error) {
		return true, tx.PutRace(b.runner, Race{r.Day, r.Name, r.Distance, off, b.person, b.now()})
	})
}

// Races returns everything that was ever said of races, in order of entry.
func (b *Book) Races(ctx context.Context) (out []Race, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.Races(b.runner)
		return err
	})
	return out, err
}

// Planned returns the races that stand, in order of day, with who accepted them by name.
func (b *Book) Planned(ctx context.Context) (races []load.PlannedRace, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		rows, err := tx.Races(b.runner)
		races = Planned(rows)
		for i := range races {
			races[i].By = b.spoken(tx, Person(races[i].By))
		}
		return err
	})
	return races, err
}

// Planned returns the races that stand, in order of day.
func Planned(rows []Race) (races []load.PlannedRace) {
	last := make(map[load.Day]Race, len(rows))
	for _, r := range rows {
		last[r.Day] = r
	}
	for _, r := range last {
		if !r.Off {
			races = append(races, load.PlannedRace{Day: r.Day, Name: r.Name, Distance: r.Distance, By: string(r.By)})
		}
	}
	slices.SortFunc(races, func(a, b load.PlannedRace) int { return int(a.Day) - int(b.Day) })
	return races
}
