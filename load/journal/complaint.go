package journal

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Complaint is what a person said of something that hurts. Its steps and baselines are
// rows of their own.
type Complaint struct {
	ID     string
	Site   rehab.Site
	Side   rehab.Side
	Onset  load.Day
	Bone   bool
	Linked string
}

// ComplaintStep is one change of a complaint's state.
type ComplaintStep struct {
	Complaint string
	rehab.Step
	Linked string // of one that opens it again: the same on the other side; empty: not said
	Why    string
	By     Person
	At     load.Instant
}

// ComplaintBase is what a person said is usual.
type ComplaintBase struct {
	Complaint string
	rehab.Base
	By Person
	At load.Instant
}

// ComplaintTx keeps complaints.
type ComplaintTx interface {
	AddComplaint(RunnerID, Complaint) error // ErrConflict: the ID is there
	PutComplaintStep(RunnerID, ComplaintStep) error
	PutComplaintBase(RunnerID, ComplaintBase) error
	Complaints(RunnerID) ([]Complaint, error)         // in order of entry
	ComplaintSteps(RunnerID) ([]ComplaintStep, error) // in order of entry
	ComplaintBases(RunnerID) ([]ComplaintBase, error) // in order of entry
}

// OpenComplaint begins to follow something that hurts, on each of the sides; those of
// several are linked. What was closed less than six months before is opened again with its
// baseline, and with whatever is said of it now; a bone is never the same as what is none. It
// returns the IDs, and is ErrConflict if one is followed already.
func (b *Book) OpenComplaint(ctx context.Context, c rehab.Complaint, sides []rehab.Side, why string) (ids []string, err error) {
	if len(c.Steps) != 1 || c.Steps[0].Status != rehab.Open {
		panic("journal: OpenComplaint: want the one step that opens it")
	}
	err = b.write(ctx, RightTell, func(tx Tx) (bool, error) {
		ids = nil
		all, err := complaints(tx, b.runner)
		if err != nil {
			return false, err
		}
		for _, side := range sides {
			one := c
			one.Side = side
			if len(ids) > 0 {
				one.Linked = ids[0]
			}
			id, err := b.openOne(tx, all, one, why)
			if err != nil {
				return false, err
			}
			ids = append(ids, id)
		}
		return true, nil
	})
	return ids, err
}

// relapseDays is how long after its end a complaint is the same one again: six months.
const relapseDays = 183

// openOne opens one side, or opens it again.
func (b *Book) openOne(tx Tx, all []rehab.Complaint, c rehab.Complaint, why string) (id string, err error) {
	if err := c.Check(); err != nil {
		return "", fmt.Errorf("open complaint: %w", err)
	}
	open := ComplaintStep{Step: c.Steps[0], Why: why, By: b.person, At: b.now()}
	c.ID = fmt.Sprintf("%s-%s", c.Site, c.Side)
	for n := 1; ; n++ {
		i := slices.IndexFunc(all, func(old rehab.Complaint) bool { return old.ID == c.ID })
		if i < 0 {
			break
		}
		last := all[i].Steps[len(all[i].Steps)-1]
		switch {
		case all[i].Bone != c.Bone:
			// not the same: a bone has no plan, and must not get that of a tendon
		case last.Status != rehab.Closed:
			return "", fmt.Errorf("open complaint %s: it is followed already: %w", c.ID, ErrConflict)
		case open.Day < last.Day:
			return "", fmt.Errorf("open complaint %s: it was closed on %v, after %v", c.ID, last.Day, open.Day)
		case open.Day-last.Day <= relapseDays:
			open.Onset, open.Linked = c.Onset, c.Linked
			return c.ID, b.putOpening(tx, c, open)
		}
		c.ID = fmt.Sprintf("%s-%s-%d", c.Site, c.Side, n+1)
	}
	if err := tx.AddComplaint(b.runner, Complaint{c.ID, c.Site, c.Side, c.Onset, c.Bone, c.Linked}); err != nil {
		return "", err
	}
	return c.ID, b.putOpening(tx, c, open)
}

// putOpening keeps the step that opens a complaint, and what is usual of it now.
func (b *Book) putOpening(tx Tx, c rehab.Complaint, open ComplaintStep) error {
	open.Complaint = c.ID
	for _, base := range c.Bases {
		if err := tx.PutComplaintBase(b.runner, ComplaintBase{c.ID, base, b.person, b.now()}); err != nil {
			return err
		}
	}
	return tx.PutComplaintStep(b.runner, open)
}

// StepComplaint hands a complaint over or closes it. It is an error if the step comes
// before the last one or changes nothing.
func (b *Book) StepComplaint(ctx context.Context, id string, step rehab.Step, why string) error {
	return b.changeComplaint(ctx, RightTreat, id, func(tx Tx, c *rehab.Complaint) error {
		last := c.Steps[len(c.Steps)-1]
		switch {
		case step.Day < last.Day:
			return fmt.Errorf("%s on %v: it was %s on %v", step.Status, step.Day, last.Status, last.Day)
		case step.Status == last.Status || last.Status == rehab.Closed:
			return fmt.Errorf("it is %s already: %w", last.Status, ErrConflict)
		}
		return tx.PutComplaintStep(b.runner, ComplaintStep{Complaint: id, Step: step, Why: why, By: b.person, At: b.now()})
	})
}

// SetBase keeps what a person says is usual of a complaint, from a day on.
func (b *Book) SetBase(ctx context.Context, id string, base rehab.Base) error {
	return b.changeComplaint(ctx, RightTreat, id, func(tx Tx, _ *rehab.Complaint) error {
		if err := base.Check(); err != nil {
			return err
		}
		return tx.PutComplaintBase(b.runner, ComplaintBase{id, base, b.person, b.now()})
	})
}

func (b *Book) changeComplaint(ctx context.Context, need Rights, id string, change func(Tx, *rehab.Complaint) error) error {
	return b.write(ctx, need, func(tx Tx) (bool, error) {
		all, err := complaints(tx, b.runner)
		if err != nil {
			return false, err
		}
		i := slices.IndexFunc(all, func(c rehab.Complaint) bool { return c.ID == id })
		if i < 0 {
			return false, notFound("complaint", id)
		}
		if err := change(tx, &all[i]); err != nil {
			return false, fmt.Errorf("complaint %s: %w", id, err)
		}
		return true, nil
	})
}

// Complaints returns all there ever were, in order of entry.
func (b *Book) Complaints(ctx context.Context) (out []rehab.Complaint, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		out, err = complaints(tx, b.runner)
		return err
	})
	return out, err
}

// ComplaintSteps returns every step with who and why, in order of entry.
func (b *Book) ComplaintSteps(ctx context.Context) (out []ComplaintStep, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		out, err = tx.ComplaintSteps(b.runner)
		return err
	})
	return out, err
}

// complaints joins the rows.
func complaints(tx Tx, runner RunnerID) (out []rehab.Complaint, err error) {
	rows, err := tx.Complaints(runner)
	if err != nil || len(rows) == 0 {
		return nil, err
	}
	steps, err := tx.ComplaintSteps(runner)
	if err != nil {
		return nil, err
	}
	bases, err := tx.ComplaintBases(runner)
	if err != nil {
		return nil, err
	}
	for _, row := range rows {
		c := rehab.Complaint{ID: row.ID, Site: row.Site, Side: row.Side, Onset: row.Onset, Bone: row.Bone, Linked: row.Linked}
		for _, s := range steps {
			if s.Complaint == c.ID {
				c.Steps, c.Linked = append(c.Steps, s.Step), cmp.Or(s.Linked, c.Linked)
			}
		}
		for _, base := range bases {
			if base.Complaint == c.ID {
				c.Bases = append(c.Bases, base.Base)
			}
		}
		slices.SortStableFunc(c.Bases, func(a, b rehab.Base) int { return int(a.From) - int(b.From) })
		out = append(out, c)
	}
	return out, nil
}
