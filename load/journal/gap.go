package journal

import (
	"context"
	"fmt"

	"tidemark/load"
)

// Gap is what a person said of days without a record. Rows are added, never
// changed; on each day the last one that holds it stands.
type Gap struct {
	load.Gap
	By Person
	At load.Instant
}

// GapTx keeps answers about gaps.
type GapTx interface {
	PutGap(RunnerID, Gap) error
	Gaps(RunnerID) ([]Gap, error) // in order of entry
}

// AnswerGap keeps an answer about days without a record; an empty one takes back
// what was said of them. It is an error if the answer cannot be.
func (b *Book) AnswerGap(ctx context.Context, g load.Gap) error {
	if err := g.Check(); err != nil {
		return fmt.Errorf("answer about days without a record: %w", err)
	}
	return b.write(ctx, RightRecord, func(tx Tx) (bool, error) {
		return true, tx.PutGap(b.runner, Gap{g, b.person, b.now()})
	})
}

// Gaps returns everything that was ever said of days without a record, in order
// of entry.
func (b *Book) Gaps(ctx context.Context) (out []Gap, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.Gaps(b.runner)
		return err
	})
	return out, err
}

func readGaps(tx Tx, runner RunnerID) (out []load.Gap, err error) {
	rows, err := tx.Gaps(runner)
	for _, row := range rows {
		out = append(out, row.Gap)
	}
	return out, err
}
