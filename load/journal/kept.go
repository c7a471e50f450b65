package journal

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"tidemark/load"
)

// Kept is everything that is kept of one runner, but for the bytes of originals and what is
// a secret: enough for a journal elsewhere to hold the same. Lists are in order of entry
// unless they say otherwise.
type Kept struct {
	Name     string
	Home     string // IANA name of the home time zone
	FirstUse load.Day

	Originals []Original     // without bytes
	Zones     []ZoneDecision // in order of session
	Rests     []Rest         // in order of day

	Settings []Setting
	Edits    []Edit
	Gaps     []Gap
	Races    []Race

	Complaints []Complaint
	Steps      []ComplaintStep
	Bases      []ComplaintBase
	Mornings   []Morning
	RedFlags   []RedFlag
	Results    []Result
	Plan       Plan
	Ramps      []RampTerms
	Gates      []Gate
	Notes      []Note

	Findings []load.Finding // what they say, in order of day, then ID
	States   []StateChange
}

// KeptRights are what a person needs to read all of it.
const KeptRights = RightLoad | RightMedical | RightShare

// Whole is one runner in one view: what is kept, and what load is computed from.
type Whole struct {
	Kept
	Input *load.Input // with what is followed of the runner
}

// Whole reads everything about the runner as of a day. If sessions were made by other
// versions it is ErrStale.
func (b *Book) Whole(ctx context.Context, on load.Day) (w Whole, err error) {
	err = b.read(ctx, KeptRights, func(tx Tx) error {
		if err := b.checkFresh(tx); err != nil {
			return err
		}
		if w.Kept, err = readKept(tx, b.runner); err != nil {
			return err
		}
		speak, err := speaker(tx)
		if err != nil {
			return err
		}
		w.Kept.each(speak)
		w.Input, err = b.input(tx, on)
		return err
	})
	if err != nil {
		return Whole{}, fmt.Errorf("read everything of a runner: %w", err)
	}
	return w, nil
}

func readKept(tx Tx, runner RunnerID) (k Kept, err error) {
	r, err := tx.Runner(runner)
	if err != nil {
		return k, err
	}
	k.Name, k.Home, k.FirstUse = r.Name, r.Home, r.FirstUse
	if k.Originals, err = tx.Originals(runner); err != nil {
		return k, err
	}
	if k.Zones, err = tx.Zones(runner); err != nil {
		return k, err
	}
	slices.SortFunc(k.Zones, func(a, b ZoneDecision) int { return cmp.Compare(a.Session, b.Session) })
	if k.Rests, err = tx.RestRows(runner); err != nil {
		return k, err
	}
	if k.Complaints, err = tx.Complaints(runner); err != nil {
		return k, err
	}
	if k.Plan.Routines, err = tx.Routines(runner); err != nil {
		return k, err
	}
	findings, err := tx.Findings(runner)
	for _, f := range findings {
		k.Findings = append(k.Findings, f.Finding)
	}
	for i := range histories {
		if err == nil {
			err = histories[i].read(tx, runner, &k)
		}
	}
	return k, err
}
