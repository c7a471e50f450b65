package journal

import (
	"context"
	"time"

	"tidemark/load"
)

// removalWait is how long a logbook can still be kept after its owner wanted it deleted;
// project default.
const removalWait = 7 * 24 * time.Hour

// Removal is that a logbook will be deleted.
type Removal struct {
	Runner RunnerID
	Due    load.Instant
	By     Person
	At     load.Instant
}

// RemovalTx keeps what is to be deleted, and deletes.
type RemovalTx interface {
	PutRemoval(Removal) error // ErrConflict if there is one
	Removal(RunnerID) (Removal, error)
	DropRemoval(RunnerID) error
	Removals() ([]Removal, error) // the first due first
	// DropRunner deletes everything about a runner, kept and derived.
	DropRunner(RunnerID) error
}

// AskRemoval wants the logbook deleted, which happens after a week.
func (b *Book) AskRemoval(ctx context.Context) (due load.Instant, err error) {
	due = b.now().Add(removalWait)
	return due, b.write(ctx, RightDelete, func(tx Tx) (bool, error) {
		return true, tx.PutRemoval(Removal{b.runner, due, b.person, b.now()})
	})
}

// KeepAfterAll takes back that the logbook is to be deleted.
func (b *Book) KeepAfterAll(ctx context.Context) error {
	return b.write(ctx, RightDelete, func(tx Tx) (bool, error) {
		if _, err := tx.Removal(b.runner); err != nil {
			return false, err
		}
		return true, tx.DropRemoval(b.runner)
	})
}

// Removal returns when the logbook will be deleted, if it will.
func (b *Book) Removal(ctx context.Context) (r Removal, will bool, err error) {
	err = b.read(ctx, 0, func(tx Tx) error {
		r, err = tx.Removal(b.runner)
		if will = err == nil; isNotFound(err) {
			err = nil
		}
		return err
	})
	return r, will, err
}

// RemoveDue deletes the logbooks whose time has come, and says how many.
func (j *Journal) RemoveDue(ctx context.Context) (n int, err error) {
	var due []Removal
	err = j.store.View(ctx, func(tx Tx) error {
		due, err = tx.Removals()
		return err
	})
	for _, r := range due {
		if err != nil || r.Due > j.clock() {
			break
		}
		if err = j.store.Update(ctx, func(tx Tx) error { return j.remove(tx, r.Runner) }); err == nil {
			n++
		}
	}
	return n, err
}

// remove deletes a runner, unless that was taken back meanwhile.
func (j *Journal) remove(tx Tx, id RunnerID) error {
	if err := tx.Lock(id); err != nil {
		return err
	}
	if r, err := tx.Removal(id); err != nil || r.Due > j.clock() {
		return err
	}
	return tx.DropRunner(id)
}
