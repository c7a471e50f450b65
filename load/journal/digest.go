package journal

import (
	"context"
	"fmt"
)

// Digest sums up all that is kept: two journals of one schema with the same digest
// hold the same, however their files are laid out.
type Digest struct {
	Sum  Sum
	Rows int64 // that went into it
}

// Digest reads every kept row in one view. It changes with every write, also of
// findings and revisions; what is rebuilt from kept rows has no part in it.
func (j *Journal) Digest(ctx context.Context) (d Digest, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		d, err = tx.Digest()
		return err
	})
	if err != nil {
		return Digest{}, fmt.Errorf("sum up journal: %w", err)
	}
	return d, nil
}
