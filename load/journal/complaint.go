package journal

import (
	"cmp"
	"context"
	"errors"
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
		ids, err = b.openAll(tx, c, sides, why)
		return err == nil, err
	})
	return ids, err
}

// openAll opens each of the sides.
func (b *Book) openAll(tx Tx, c rehab.Complaint, sides []rehab.Side, why string) (ids []string, err error) {
	all, err := complaints(tx, b.runner)
	if err != nil {
		return nil, err
	}
	for _, side := range sides {
		one := c
		one.Side = side
		if len(ids) > 0 {
			one.Linked = ids[0]
		}
		id, err := b.openOne(tx, all, one, why)
		if err != nil {
			return nil, err
		}
		ids = append(ids, id)
	}
	return ids, nil
}

// RelapseDays is how long after its end a complaint is the same one again: six months.
const RelapseDays = 183

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
		case open.Day-last.Day <= RelapseDays:
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

// StepComplaint hands a complaint over, takes it back or closes it. It is an error if the step
// comes before the last one or changes nothing. A handing over may be of a day to come, within
// a year; until then another step takes its place.
func (b *Book) StepComplaint(ctx context.Context, id string, step rehab.Step, why string) error {
	return b.StepComplaintAfter(ctx, Unseen, id, step, why)
}

// StepComplaintAfter is StepComplaint by who saw so many changes; ErrConflict if another came
// since (see Changes).
func (b *Book) StepComplaintAfter(ctx context.Context, seen int, id string, step rehab.Step, why string) error {
	return b.changeComplaint(ctx, RightTreat, id, func(tx Tx, c *rehab.Complaint) error {
		today, err := b.today(tx)
		if err == nil {
			err = errors.Join(b.unchanged(tx, seen), canStep(c, step, today))
		}
		if err != nil {
			return err
		}
		put := func(s rehab.Step, why string) error {
			return tx.PutComplaintStep(b.runner, ComplaintStep{Complaint: id, Step: s, Why: why, By: b.person, At: b.now()})
		}
		if coming, ok := c.Coming(today); ok && step.Status == coming.Status && step.Day > coming.Day {
			if err := put(rehab.Step{Day: today, Status: rehab.Open}, ""); err != nil { // it comes later than was said
				return err
			}
		}
		return put(step, why)
	})
}

// handOverDays is how many days ahead a complaint may be handed over; project default.
const handOverDays = 366

// canStep reports why a step cannot follow those of a complaint.
func canStep(c *rehab.Complaint, step rehab.Step, today load.Day) error {
	last := c.Steps[len(c.Steps)-1]
	coming := last.Status == rehab.HandedOver && last.Day > today
	switch {
	case step.Day > today && step.Day-today > handOverDays:
		return fmt.Errorf("%s on %v: want within %d days", step.Status, step.Day, handOverDays)
	case last.Status == rehab.Closed && step.Day >= last.Day:
		return fmt.Errorf("it is %s already: %w", last.Status, ErrConflict)
	case coming && step.Day >= c.Steps[len(c.Steps)-2].Day && step != last:
		return nil
	case step.Day < last.Day:
		return fmt.Errorf("%s on %v: it was %s on %v", step.Status, step.Day, last.Status, last.Day)
	case step.Status == last.Status:
		return fmt.Errorf("it is %s already: %w", last.Status, ErrConflict)
	}
	return nil
}

// SetBase keeps what a person says is usual of a complaint, from a day on.
func (b *Book) SetBase(ctx context.Context, id string, base rehab.Base) error {
	return b.SetBaseAfter(ctx, Unseen, id, base)
}

// SetBaseAfter is SetBase by who saw so many changes; ErrConflict if another came since.
func (b *Book) SetBaseAfter(ctx context.Context, seen int, id string, base rehab.Base) error {
	return b.changeComplaint(ctx, RightTreat, id, func(tx Tx, _ *rehab.Complaint) error {
		if err := errors.Join(b.unchanged(tx, seen), base.Check()); err != nil {
			return err
		}
		return tx.PutComplaintBase(b.runner, ComplaintBase{id, base, b.person, b.now()})
	})
}

// Changes returns how often anything was said of what hurts, of programmes, of what is allowed
// in advance and of the way back. A form about several of them carries it, so that the second
// of two people is told.
func (b *Book) Changes(ctx context.Context) (n int, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		n, err = b.changes(tx)
		return err
	})
	return n, err
}

func (b *Book) changes(tx Tx) (int, error) {
	steps, err1 := tx.ComplaintSteps(b.runner)
	bases, err2 := tx.ComplaintBases(b.runner)
	set, err3 := tx.Prescriptions(b.runner)
	orders, err4 := tx.Orders(b.runner)
	ramps, err5 := tx.Ramps(b.runner)
	return len(steps) + len(bases) + len(set) + len(orders) + len(ramps), errors.Join(err1, err2, err3, err4, err5)
}

// unchanged is ErrConflict if there were other changes since somebody saw so many.
func (b *Book) unchanged(tx Tx, seen int) error {
	if seen == Unseen {
		return nil
	}
	n, err := b.changes(tx)
	if err == nil && n != seen {
		err = fmt.Errorf("change what is followed: it was changed meanwhile: %w", ErrConflict)
	}
	return err
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
				c.Take(s.Step)
				c.Linked = cmp.Or(s.Linked, c.Linked)
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
