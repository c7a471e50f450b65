package journal

import (
	"context"

	"tidemark/load"
)

// Rest is a day that a diary says was rest.
type Rest struct {
	Day load.Day
	Sum Sum // of the diary
}

// RestTx keeps days that a diary says were rest. They are kept: a newer
// decoder adds to them and takes none away.
type RestTx interface {
	// PutRest reports whether the day is new.
	PutRest(RunnerID, Sum, load.Day) (added bool, err error)
	Rests(RunnerID) ([]load.Day, error) // in order
	RestRows(RunnerID) ([]Rest, error)  // in order of day
}

// Rests returns the confirmed rest days in order.
func (b *Book) Rests(ctx context.Context) (out []load.Day, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.Rests(b.runner)
		return err
	})
	return out, err
}

func putRests(tx Tx, runner RunnerID, sum Sum, days []load.Day) (added int, err error) {
	for _, day := range days {
		isNew, err := tx.PutRest(runner, sum, day)
		if err != nil {
			return added, err
		}
		if isNew {
			added++
		}
	}
	return added, nil
}
