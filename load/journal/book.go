package journal

import (
	"context"

	"tidemark/load"
)

// Book is one runner's journal, opened with one person's rights. Its methods
// may be called at the same time. Rights are read again in every transaction;
// a right that is missing answers ErrNotFound, and ErrNotInCharge where the person
// sees what somebody else has to change.
type Book struct {
	journal *Journal
	person  Person
	runner  RunnerID
}

// Runner returns the runner as of now.
func (b *Book) Runner(ctx context.Context) (r Runner, err error) {
	err = b.read(ctx, 0, func(tx Tx) error {
		r, err = tx.Runner(b.runner)
		return err
	})
	return r, err
}

// Rights returns what the person may do as of now.
func (b *Book) Rights(ctx context.Context) (r Rights, err error) {
	err = b.read(ctx, 0, func(tx Tx) error {
		r, err = b.rights(tx)
		return err
	})
	return r, err
}

func (b *Book) rights(tx Tx) (Rights, error) {
	if _, err := tx.Runner(b.runner); err != nil {
		return 0, err
	}
	r, err := rightsOf(tx, b.person, b.runner, b.now())
	if err == nil && r == 0 {
		err = notFound("runner", string(b.runner))
	}
	return r, err
}

// sees reports whether the person has a right, without which the answer is less.
func (b *Book) sees(tx Tx, right Rights) (bool, error) {
	r, err := b.rights(tx)
	return r.Has(right), err
}

// whole is the book for what the program itself does, whoever made it look.
func (b *Book) whole() *Book { return &Book{b.journal, Local, b.runner} }

func (b *Book) need(tx Tx, need Rights) error {
	r, err := b.rights(tx)
	switch {
	case err != nil || r.Has(need):
	case need&^r == RightTreat && r.Has(RightTell): // who knows of it
		err = notInCharge()
	default:
		err = notFound("runner", string(b.runner))
	}
	return err
}

// read calls f in a reading view if the person has the rights.
func (b *Book) read(ctx context.Context, need Rights, f func(Tx) error) error {
	return b.journal.store.View(ctx, func(tx Tx) error {
		if err := b.need(tx, need); err != nil {
			return err
		}
		return f(tx)
	})
}

// write calls f in a transaction that holds the runner, if the person has the
// rights, and raises the revision if f says that it changed something.
func (b *Book) write(ctx context.Context, need Rights, f func(Tx) (changed bool, err error)) error {
	return b.journal.store.Update(ctx, func(tx Tx) error {
		if err := tx.Lock(b.runner); err != nil {
			return err
		}
		if err := b.need(tx, need); err != nil {
			return err
		}
		changed, err := f(tx)
		if err == nil && changed {
			_, err = tx.Touch(b.runner)
		}
		return err
	})
}

func (b *Book) now() load.Instant { return b.journal.clock() }
