package journal

import (
	"context"
	"errors"
	"fmt"

	"tidemark/load"
	"tidemark/load/rehab"
)

// RedFlag is what a person said of a sign: that it is there, or that it is lifted.
type RedFlag struct {
	Flag   string // ID of rehab.RedFlags
	Day    load.Day
	Lifted bool
	Why    string
	By     Person
	At     load.Instant
}

// RedFlagTx keeps what was said of red flags.
type RedFlagTx interface {
	PutRedFlag(RunnerID, RedFlag) error
	RedFlags(RunnerID) ([]RedFlag, error) // in order of entry
}

// RaiseFlag keeps that a sign is there from a day on. One that stands already is left as it
// is.
func (b *Book) RaiseFlag(ctx context.Context, id string, day load.Day, why string) error {
	return b.sayOfFlag(ctx, id, day, why, false)
}

// LiftFlag keeps that a sign does not stand any more from a day on. It needs a reason; a
// flag that does not stand is ErrConflict.
func (b *Book) LiftFlag(ctx context.Context, id string, day load.Day, why string) error {
	if why == "" {
		return errors.New("lift red flag: it needs a reason")
	}
	return b.sayOfFlag(ctx, id, day, why, true)
}

func (b *Book) sayOfFlag(ctx context.Context, id string, day load.Day, why string, lift bool) error {
	if _, err := rehab.FindRedFlag(id); err != nil {
		return err
	}
	return b.write(ctx, RightTell, func(tx Tx) (bool, error) { return b.putFlag(tx, id, day, why, lift) })
}

// putFlag keeps what is said of a sign, if it says something new.
func (b *Book) putFlag(tx Tx, id string, day load.Day, why string, lift bool) (changed bool, err error) {
	rows, err := tx.RedFlags(b.runner)
	if err != nil {
		return false, err
	}
	stands := false
	for _, f := range rows {
		if f.Flag == id {
			stands = !f.Lifted
		}
	}
	switch {
	case lift && !stands:
		return false, fmt.Errorf("lift red flag %s: it does not stand: %w", id, ErrConflict)
	case !lift && stands:
		return false, nil
	}
	return true, tx.PutRedFlag(b.runner, RedFlag{id, day, lift, why, b.person, b.now()})
}

// SayNothingNew keeps that on a day there was no sign.
func (b *Book) SayNothingNew(ctx context.Context, day load.Day) error {
	return b.write(ctx, RightTell, func(tx Tx) (bool, error) {
		return true, tx.PutRedFlag(b.runner, RedFlag{rehab.NothingNew, day, false, "", b.person, b.now()})
	})
}

// RedFlags returns everything that was ever said of signs, in order of entry.
func (b *Book) RedFlags(ctx context.Context) (out []RedFlag, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		out, err = tx.RedFlags(b.runner)
		return err
	})
	return out, err
}

// raised pairs each flag with its lifting.
func raised(rows []RedFlag) (out []rehab.Raised) {
	open := make(map[string]int)
	for _, row := range rows {
		flag, err := rehab.FindRedFlag(row.Flag)
		if err != nil {
			continue // of a newer version
		}
		if !row.Lifted {
			open[row.Flag] = len(out)
			out = append(out, rehab.Raised{Flag: flag, From: row.Day, At: row.At})
		} else if i, ok := open[row.Flag]; ok {
			out[i].Lifted, out[i].IsLifted = row.Day, true
			delete(open, row.Flag)
		}
	}
	return out
}
