package journal

import (
	"context"
	"time"

	"tidemark/load"
)

// LookKind is what somebody looked at.
type LookKind string

// The kinds.
const (
	LookLoad    LookKind = "load"    // runs and what follows from them
	LookMedical LookKind = "medical" // what hurts and what is done for it
	LookExport  LookKind = "export"  // carried away
)

// lookAgain is how long looks at the same are one; project default.
const lookAgain = 30 * time.Minute

// Look is that somebody looked at a logbook.
type Look struct {
	Person Person
	What   LookKind
	At     load.Instant
}

// LookTx keeps looks.
type LookTx interface {
	PutLook(RunnerID, Look) error
	LastLook(RunnerID, Person, LookKind) (Look, error)
	Looks(RunnerID, int) ([]Look, error) // the latest, last first, so many at most
}

// Look keeps that the person looked, if the logbook is not their own; what is looked at
// again within half an hour is one look.
func (b *Book) Look(ctx context.Context, what LookKind) error {
	if b.person == Local {
		return nil
	}
	known := true
	err := b.read(ctx, 0, func(tx Tx) error {
		grants, err := tx.Grants(b.runner)
		if err != nil {
			return err
		}
		for _, g := range standingGrants(grants) {
			known = known && !(g.Person == b.person && !g.Role.Owns())
		}
		if known {
			return nil
		}
		last, err := tx.LastLook(b.runner, b.person, what)
		if isNotFound(err) {
			return nil
		}
		known = b.now().Sub(last.At) < lookAgain
		return err
	})
	if err != nil || known {
		return err
	}
	// It changes nothing about the runner, so the revision stays.
	return b.write(ctx, 0, func(tx Tx) (bool, error) {
		return false, tx.PutLook(b.runner, Look{b.person, what, b.now()})
	})
}

// Looks returns who looked, the last first, so many at most.
func (b *Book) Looks(ctx context.Context, most int) (out []Look, err error) {
	err = b.read(ctx, RightShare, func(tx Tx) error {
		out, err = tx.Looks(b.runner, most)
		return err
	})
	return out, err
}
