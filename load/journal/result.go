package journal

import (
	"context"
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Result is a result of a test as a person gave it.
type Result struct {
	rehab.Result
	By Person
	At load.Instant
}

// ResultTx keeps results.
type ResultTx interface {
	PutResult(RunnerID, Result) error
	Results(RunnerID) ([]Result, error) // in order of entry
}

// AddResult keeps a result; another one of the same test and day stands over it.
func (b *Book) AddResult(ctx context.Context, r rehab.Result) error {
	return b.write(ctx, RightTell, func(tx Tx) (bool, error) {
		today, err := b.today(tx)
		if err != nil {
			return false, err
		}
		if err := r.Check(today); err != nil {
			return false, fmt.Errorf("add result: %w", err)
		}
		return true, tx.PutResult(b.runner, Result{r, b.person, b.now()})
	})
}

// Results returns the results that stand, in order of day, and of one day in order of
// entry.
func (b *Book) Results(ctx context.Context) (out []Result, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		rows, err := tx.Results(b.runner)
		if err != nil {
			return err
		}
		out = nil
		for _, r := range rows {
			same := func(old Result) bool { return old.Test == r.Test && old.Day == r.Day }
			if i := slices.IndexFunc(out, same); i >= 0 {
				out[i] = r
			} else {
				out = append(out, r)
			}
		}
		slices.SortStableFunc(out, func(a, b Result) int { return int(a.Day) - int(b.Day) })
		return nil
	})
	return out, err
}
