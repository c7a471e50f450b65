package journal

import (
	"context"
	"errors"
	"time"
)

// RenewStandings makes the rows of lists anew that went stale, by a new day or a write, one
// runner after another, so that the first look of a morning finds them done; of whom a session
// was asked before it looks at the days ahead again. It calls rest with the time that each took,
// and says how many there were. What cannot be written now is left to the next look.
func (j *Journal) RenewStandings(ctx context.Context, rest func(took time.Duration)) (n int, err error) {
	stale, err := j.staleStandings(ctx)
	if err != nil {
		return 0, err
	}
	for _, row := range stale {
		if err := ctx.Err(); err != nil {
			return n, err
		}
		began := time.Now()
		err := j.renewOne(ctx, &row)
		switch {
		case err == nil:
			n++
		case !passes(err):
			return n, err
		}
		rest(time.Since(began))
	}
	return n, nil
}

// staleStandings are the runners whose row, or the days ahead that are held of them, are not as
// they are today.
func (j *Journal) staleStandings(ctx context.Context) (stale []Row, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		stale = nil
		runners, err := tx.Runners()
		if err != nil {
			return err
		}
		standings, err := tx.Standings(Local)
		if err != nil {
			return err
		}
		of := make(map[RunnerID]*Standing, len(standings))
		for i := range standings {
			of[standings[i].Runner] = &standings[i]
		}
		for _, r := range runners {
			today, err := r.Today(j.clock())
			if err != nil {
				return err
			}
			row := Row{Logbook: Logbook{Runner: r}, Today: today}
			if s := of[r.ID]; s != nil {
				row.Standing = *s
			}
			if held := j.aheads.get(r.ID); !row.Standing.fresh(r, today, j.versions) || held != nil && !held.fresh(r, today) {
				stale = append(stale, row)
			}
		}
		return nil
	})
	return stale, err
}

func (j *Journal) renewOne(ctx context.Context, row *Row) error {
	b := &Book{j, Local, row.ID}
	if !row.Standing.fresh(row.Runner, row.Today, j.versions) {
		if err := b.Refresh(ctx, row.Today); err != nil {
			return err
		}
	}
	if j.aheads.get(row.ID) == nil {
		return nil
	}
	_, err := b.lookAhead(ctx, row.Today)
	return err
}

// passes reports whether an error leaves a row as it was, until somebody looks again.
func passes(err error) bool {
	for _, passing := range []error{ErrReadOnly, ErrBusy, ErrNotFound, ErrStale} {
		if errors.Is(err, passing) {
			return true
		}
	}
	return false
}
