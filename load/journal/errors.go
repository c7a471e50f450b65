package journal

import (
	"errors"
	"fmt"
)

// What callers branch on. Stores and books return them wrapped with what was
// being done.
var (
	ErrNotFound    = errors.New("not found")                        // not there, or not for this person to see
	ErrNotInCharge = errors.New("somebody else is in charge of it") // a clinician, while one follows what hurts
	ErrOwned       = errors.New("the logbook has an owner")
	ErrStopped     = errors.New("a sign stops running until it is lifted")
	ErrConflict    = errors.New("conflict with what is kept")           // taken, or changed by somebody else meanwhile
	ErrBusy        = errors.New("another program is using the journal") // and did not finish in time
	ErrReadOnly    = errors.New("the journal cannot be written to")
	ErrFull        = errors.New("the disk is full")
	ErrNewer       = errors.New("the journal was written by a newer version")
	ErrOlder       = errors.New("the journal was written by an older version") // to be opened once for writing
	ErrNotJournal  = errors.New("the file is not a journal")
	ErrDamaged     = errors.New("the journal is damaged")
	ErrUnfit       = errors.New("the logbook cannot be taken over")
	ErrStale       = errors.New("derived rows are of another version") // Rederive first
)

func notFound(kind, name string) error { return fmt.Errorf("find %s %q: %w", kind, name, ErrNotFound) }

func notInCharge() error { return fmt.Errorf("change it: %w", ErrNotInCharge) }

func isNotFound(err error) bool { return errors.Is(err, ErrNotFound) }
