package journal

import (
	"context"
	"fmt"
	"reflect"
	"slices"

	"tidemark/load"
)

// State is where a finding stands.
type State string

// The states of a finding.
const (
	Open      State = "open"
	Seen      State = "seen"
	SetAside  State = "set-aside"
	Closed    State = "closed"
	Withdrawn State = "withdrawn" // its cause is gone from the data
)

// Finding is a warning with its state.
type Finding struct {
	load.Finding
	State State
	By    Person
	Why   string
	// Reopened is the day on which a rise of the level or a person opened it
	// again: it is quiet from then at the earliest. Zero: never.
	Reopened load.Day
}

// StateChange is one step in the life of a finding. Steps are added, never
// changed; the last one is the state.
type StateChange struct {
	Finding  string // ID
	State    State
	By       Person
	Why      string
	Reopened load.Day
	At       load.Instant
}

// FindingTx keeps what findings say, which is derived, and their states.
type FindingTx interface {
	// PutFinding adds what a finding says, or replaces it.
	PutFinding(RunnerID, load.Finding) error
	PutState(RunnerID, StateChange) error
	Findings(RunnerID) ([]Finding, error)   // each with its last state; by day, then ID
	States(RunnerID) ([]StateChange, error) // in order of entry
}

// KeepFindings hears everything that the rules find in the runner's whole
// history as of today and brings the kept findings into line (see Reconcile).
// What did not change is not written, and the revision rises only if something
// did.
func (b *Book) KeepFindings(ctx context.Context, now []load.Finding, today load.Day) error {
	_, err := b.keepFindings(ctx, now, today, 0)
	return err
}

// keepFindings keeps what the rules found in the runner of a revision. If the
// runner has changed since, it is ErrConflict: what was found is no longer so.
// Revision 0 is any. It says whether that changed anything, and raised the revision by
// one.
func (b *Book) keepFindings(ctx context.Context, now []load.Finding, today load.Day, revision int64) (changed bool, err error) {
	err = b.write(ctx, RightLoad, func(tx Tx) (bool, error) {
		changed = false // a store may call this again
		runner, err := tx.Runner(b.runner)
		if err != nil {
			return false, err
		}
		if revision != 0 && runner.Revision != revision {
			return false, fmt.Errorf("keep findings of revision %d, now %d: %w", revision, runner.Revision, ErrConflict)
		}
		before, err := tx.Findings(b.runner)
		if err != nil {
			return false, err
		}
		old := make(map[string]Finding, len(before))
		for _, f := range before {
			old[f.ID] = f
		}
		for _, f := range Reconcile(before, now, today, runner.FirstUse) {
			was, there := old[f.ID]
			wrote, err := b.keepFinding(tx, was, there, f)
			if err != nil {
				return false, fmt.Errorf("keep finding %s: %w", f.ID, err)
			}
			changed = changed || wrote
		}
		stamped, err := b.stampFindings(tx)
		changed = changed || stamped
		return changed, err
	})
	return changed && err == nil, err
}

func (b *Book) keepFinding(tx Tx, was Finding, there bool, f Finding) (wrote bool, err error) {
	if !there || !sameText(was.Finding, f.Finding) {
		if err := tx.PutFinding(b.runner, f.Finding); err != nil {
			return false, err
		}
		wrote = true
	}
	if !there || was.State != f.State || was.By != f.By || was.Why != f.Why || was.Reopened != f.Reopened {
		return true, tx.PutState(b.runner, StateChange{f.ID, f.State, f.By, f.Why, f.Reopened, b.now()})
	}
	return wrote, nil
}

func sameText(a, b load.Finding) bool {
	sameEvidence := slices.Equal(a.Evidence, b.Evidence)
	a.Evidence, b.Evidence = nil, nil
	return sameEvidence && reflect.DeepEqual(a, b)
}

func (b *Book) stampFindings(tx Tx) (wrote bool, err error) {
	stamps, err := tx.Stamps(b.runner)
	if err != nil {
		return false, err
	}
	if v, ok := stamps[FindingPart]; ok && v == b.journal.versions {
		return false, nil
	}
	return true, tx.PutStamp(b.runner, FindingPart, b.journal.versions)
}

// Findings returns every finding there ever was, by day and ID.
func (b *Book) Findings(ctx context.Context) (out []Finding, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = b.seenFindings(tx)
		return err
	})
	return out, err
}

// seenFindings are those that the person may see.
func (b *Book) seenFindings(tx Tx) ([]Finding, error) {
	medical, err := b.sees(tx, RightMedical)
	if err != nil {
		return nil, err
	}
	out, err := tx.Findings(b.runner)
	return slices.DeleteFunc(out, func(f Finding) bool { return !medical && f.Medical() }), err
}

// States returns how the findings came to their states, in order of entry.
func (b *Book) States(ctx context.Context) (out []StateChange, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		seen, err := b.seenFindings(tx)
		if err != nil {
			return err
		}
		out, err = tx.States(b.runner)
		out = slices.DeleteFunc(out, func(s StateChange) bool {
			return !slices.ContainsFunc(seen, func(f Finding) bool { return f.ID == s.Finding })
		})
		return err
	})
	return out, err
}

// Answer gives a finding the state that the person says: open, seen, set-aside
// or closed, and why. Only the rules withdraw a finding, and a withdrawn one
// takes no answer: that is ErrConflict.
func (b *Book) Answer(ctx context.Context, id string, state State, why string) error {
	if !slices.Contains([]State{Open, Seen, SetAside, Closed}, state) {
		return fmt.Errorf("answer finding %s: %q is no answer", id, state)
	}
	return b.write(ctx, RightAdvise, func(tx Tx) (bool, error) {
		f, err := b.finding(tx, id)
		if err != nil {
			return false, err
		}
		if f.State == Withdrawn {
			return false, fmt.Errorf("answer finding %s: its cause is gone: %w", id, ErrConflict)
		}
		change := StateChange{id, state, b.person, why, f.Reopened, b.now()}
		if state == Open {
			if change.Reopened, err = b.today(tx); err != nil {
				return false, err
			}
		}
		return true, tx.PutState(b.runner, change)
	})
}

func (b *Book) finding(tx Tx, id string) (Finding, error) {
	all, err := b.seenFindings(tx)
	if err != nil {
		return Finding{}, err
	}
	if i := slices.IndexFunc(all, func(f Finding) bool { return f.ID == id }); i >= 0 {
		return all[i], nil
	}
	return Finding{}, notFound("finding", id)
}

func (b *Book) today(tx Tx) (load.Day, error) {
	r, err := tx.Runner(b.runner)
	if err != nil {
		return 0, err
	}
	return r.Today(b.now())
}
