package journal

import (
	"context"
	"errors"
	"fmt"

	"tidemark/load"
)

// NoteKind is what a note is for.
type NoteKind string

// The kinds.
const (
	NoteToRunner NoteKind = "to-runner" // shown on the runner's first page
	NoteVisit    NoteKind = "visit"     // of a visit, medical
)

// Note is what somebody wrote to a runner, or of a visit.
type Note struct {
	Kind    NoteKind
	Day     load.Day // it is of
	Next    load.Day // of the next visit
	HasNext bool
	Text    string
	By      Person
	At      load.Instant
}

// maxNote is how long a note may be, in bytes; project default.
const maxNote = 8000

// NoteTx keeps notes.
type NoteTx interface {
	PutNote(RunnerID, Note) error
	Notes(RunnerID) ([]Note, error) // in order of entry
	// LastVisits returns the notes of the last visit of each runner that a person may see.
	LastVisits(Person) (map[RunnerID]Note, error)
	// LastWords returns of each runner that a person may see the last note to them by a
	// clinician or from the machine.
	LastWords(Person) (map[RunnerID]Note, error)
}

// Check reports why a note cannot be.
func (n *Note) Check() error {
	switch {
	case n.Kind != NoteToRunner && n.Kind != NoteVisit:
		return fmt.Errorf("note: %.20q: want to-runner or visit", string(n.Kind))
	case n.Kind == NoteToRunner && n.Text == "":
		return errors.New("note: it is empty")
	case len(n.Text) > maxNote:
		return fmt.Errorf("note: it is longer than %d bytes", maxNote)
	case n.HasNext && n.Next <= n.Day:
		return fmt.Errorf("note: the next visit, on %v, is not after this one, on %v", n.Next, n.Day)
	}
	return nil
}

// PutNote keeps a note.
func (b *Book) PutNote(ctx context.Context, n Note) error {
	if err := n.Check(); err != nil {
		return err
	}
	need := RightAdvise
	if n.Kind == NoteVisit {
		need = RightTreat
	}
	return b.write(ctx, need, func(tx Tx) (bool, error) {
		today, err := b.today(tx)
		if err != nil {
			return false, err
		}
		if n.Kind == NoteVisit && n.Day > today {
			return false, fmt.Errorf("note: %v has not come yet", n.Day)
		}
		n.By, n.At = b.person, b.now()
		return true, tx.PutNote(b.runner, n)
	})
}

// Notes returns the notes that the person may see, in order of entry: without leave for
// medical detail their own, since any other may hold some.
func (b *Book) Notes(ctx context.Context) (out []Note, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		medical, err := b.sees(tx, RightMedical)
		if err != nil {
			return err
		}
		rows, err := tx.Notes(b.runner)
		out = nil
		for _, n := range rows {
			if medical || n.Kind == NoteToRunner && n.By == b.person {
				out = append(out, n)
			}
		}
		return err
	})
	return out, err
}
