// Package journal keeps what is known about runners: the bytes of their
// recordings, what was decided about them, and the rows derived from both.
//
// A Journal is opened on a Store; a Book is one runner in it, opened with one
// person's rights. What a person may not see does not exist for them
// (ErrNotFound). Rows are either kept, and then never changed by a newer
// version of the program, or derived from kept ones, and then stamped with the
// versions that made them and rebuilt when those change.
//
// The package holds no SQL, no HTTP and no arithmetic of load, and reads no
// file: recordings arrive decoded and reduced.
package journal

import (
	"context"
	"slices"
	"strings"

	"tidemark/load"
)

// Store keeps rows. It never decides who may see what: its methods take the
// runner explicitly, and Journal and Book ask for rights.
type Store interface {
	// View calls f with a consistent reading view; writing in it fails.
	View(ctx context.Context, f func(Tx) error) error
	// Update calls f and commits what it wrote, or nothing at all if f returns
	// an error or panics, if ctx ends, or if the commit fails. A Store may call
	// f again after a conflict between writers, so f must have no effect
	// outside of the Tx that a second call does not undo.
	Update(ctx context.Context, f func(Tx) error) error
	// Close waits for nobody: calls that are under way fail.
	Close() error
}

// Tx is one transaction. It is good for one goroutine and ends with the
// function that it was given to.
type Tx interface {
	// Lock makes other writers of the runner wait until the transaction ends.
	Lock(RunnerID) error

	RunnerTx
	AccountTx
	SignInTx
	GrantTx
	InvitationTx
	LookTx
	TokenTx
	RemovalTx
	OriginalTx
	ZoneTx
	SessionTx
	RestTx
	SettingTx
	EditTx
	GapTx
	RaceTx
	ComplaintTx
	MorningTx
	RedFlagTx
	ResultTx
	PlanTx
	RampTx
	HistoryTx
	FindingTx
	StandingTx
	SquadTx
	WarningTx
	GlanceTx
	NoteTx
	WishTx
	NewsTx
	StampTx
	IntegrityTx
}

// Journal is a Store with the program's rules on it. Its methods may be called
// at the same time.
type Journal struct {
	store    Store
	clock    func() load.Instant
	versions Versions
	inputs   inputs
	aheads   aheads
	turns    turns
}

// New returns the journal on store. The clock dates what is written; derived
// rows are stamped with versions.
func New(store Store, clock func() load.Instant, versions Versions) *Journal {
	return &Journal{store: store, clock: clock, versions: versions}
}

// AddRunner makes a runner with a new ID. The name is trimmed and normalised
// to NFC; home is the IANA name of a time zone; findings dated before firstUse
// will never be open. A name that is taken is ErrConflict.
func (j *Journal) AddRunner(ctx context.Context, name, home string, firstUse load.Day) (Runner, error) {
	r, err := newRunner(name, home, firstUse)
	if err != nil {
		return Runner{}, err
	}
	return r, j.store.Update(ctx, func(tx Tx) error { return tx.AddRunner(r) })
}

// Runners returns the runners that person may see, in order of name.
func (j *Journal) Runners(ctx context.Context, person Person) (out []Runner, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		out, err = runnersOf(tx, person)
		return err
	})
	slices.SortFunc(out, func(a, b Runner) int { return strings.Compare(a.Name, b.Name) })
	return out, err
}

func runnersOf(tx Tx, person Person) ([]Runner, error) {
	if person == Local {
		return tx.Runners()
	}
	return tx.RunnersOf(person)
}

// Find returns the runner with the ID or, if there is none, the name.
func (j *Journal) Find(ctx context.Context, person Person, nameOrID string) (r Runner, err error) {
	err = j.store.View(ctx, func(tx Tx) error {
		r, err = tx.Runner(RunnerID(nameOrID))
		if isNotFound(err) {
			r, err = tx.RunnerNamed(cleanName(nameOrID))
		}
		if err != nil {
			return err
		}
		rights, err := rightsOf(tx, person, r.ID, j.clock())
		if err == nil && rights == 0 {
			err = notFound("runner", nameOrID)
		}
		return err
	})
	if err != nil {
		return Runner{}, err
	}
	return r, nil
}

// Open returns the book of a runner with the rights that person has now.
func (j *Journal) Open(ctx context.Context, person Person, runner RunnerID) (*Book, error) {
	b := &Book{journal: j, person: person, runner: runner}
	return b, b.read(ctx, 0, func(Tx) error { return nil })
}

// Ready fails if nothing can be read.
func (j *Journal) Ready(ctx context.Context) error {
	err := j.store.View(ctx, func(tx Tx) error {
		_, err := tx.Runner("")
		return err
	})
	if isNotFound(err) { // it was looked for, and nobody is called so
		err = nil
	}
	return err
}
