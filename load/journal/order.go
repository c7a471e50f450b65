package journal

import (
	"context"
	"fmt"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Order is a standing order as a person gave it.
type Order struct {
	rehab.Order
	By Person
	At load.Instant
}

// OrderError is why something cannot be allowed in advance, in words for who gives it.
type OrderError struct{ Text string }

func (e *OrderError) Error() string { return e.Text }

func orderError(format string, args ...any) error { return &OrderError{fmt.Sprintf(format, args...)} }

// GiveOrder keeps what is allowed in advance of a complaint; it replaces what was allowed
// before. It is an OrderError if the last day has passed, or if there are not so many phases
// or stages in what is set.
func (b *Book) GiveOrder(ctx context.Context, o rehab.Order) error {
	return b.GiveOrderAfter(ctx, Unseen, o)
}

// GiveOrderAfter is GiveOrder by who saw how many were given for the complaint; ErrConflict if
// another one came since, or if it is not followed any more.
func (b *Book) GiveOrderAfter(ctx context.Context, seen int, o rehab.Order) error {
	return b.changeComplaint(ctx, RightTreat, o.Complaint, func(tx Tx, c *rehab.Complaint) error { return b.giveOrder(tx, c, seen, o) })
}

func (b *Book) giveOrder(tx Tx, c *rehab.Complaint, seen int, o rehab.Order) error {
	today, err := b.today(tx)
	if err != nil {
		return err
	}
	orders, err := tx.Orders(b.runner)
	if err != nil {
		return err
	}
	given := 0
	for _, old := range orders {
		if old.Complaint == o.Complaint {
			given++
		}
	}
	switch {
	case seen != Unseen && seen != given:
		return fmt.Errorf("give order: another was given meanwhile: %w", ErrConflict)
	case c.Bone && o.Allows():
		return orderError("a bone hurts: there is no programme and no way back to allow")
	case !c.Followed(today):
		return fmt.Errorf("give order: it is not followed: %w", ErrConflict)
	}
	return b.putOrder(tx, o, today)
}

// PrescribeAndAllow is PrescribeAfter and GiveOrderAfter of one complaint, both or neither.
func (b *Book) PrescribeAndAllow(ctx context.Context, seen int, p rehab.Prescription, orders int, o rehab.Order) error {
	return b.changeComplaint(ctx, RightTreat, p.Complaint, func(tx Tx, c *rehab.Complaint) error {
		if err := b.prescribe(tx, c, seen, p, ""); err != nil {
			return err
		}
		return b.giveOrder(tx, c, orders, o)
	})
}

// SetRampAndAllow is SetRampAfter and GiveOrderAfter, both or neither.
func (b *Book) SetRampAndAllow(ctx context.Context, seen int, terms ramp.Terms, orders int, o rehab.Order) error {
	return b.changeComplaint(ctx, RightTreat, o.Complaint, func(tx Tx, c *rehab.Complaint) error {
		if err := b.setRamp(tx, seen, terms, ""); err != nil {
			return err
		}
		return b.giveOrder(tx, c, orders, o)
	})
}

// mostOrdered is how many days ahead an order may hold; project default.
const mostOrdered = 366

// putOrder keeps an order that holds for what is set.
func (b *Book) putOrder(tx Tx, o rehab.Order, today load.Day) error {
	if err := o.Check(); err != nil {
		return &OrderError{err.Error()}
	}
	if o.Allows() {
		switch {
		case o.Until < today:
			return orderError("until %v: that day has passed", o.Until)
		case o.Until > today+mostOrdered:
			return orderError("until %v: want within %d days", o.Until, mostOrdered)
		}
		if err := b.withinSet(tx, o); err != nil {
			return err
		}
	}
	return tx.PutOrder(b.runner, Order{o, b.person, b.now()})
}

// withinSet reports whether there are so many stages and phases in what was set last. Where
// nothing was, the ladder is the usual one.
func (b *Book) withinSet(tx Tx, o rehab.Order) error {
	ramps, err := tx.Ramps(b.runner)
	if err != nil {
		return err
	}
	terms := ramp.Terms{}
	if n := len(ramps); n > 0 {
		terms = ramps[n-1].Terms
	}
	if n := len(terms.Ladder()); o.Stage > ramp.MostRoof(n) {
		return orderError("stage %d: the ladder has %d, and with what comes after it there are %d", o.Stage, n, ramp.MostRoof(n))
	}
	set, err := tx.Prescriptions(b.runner)
	if err != nil {
		return err
	}
	routines, err := tx.Routines(b.runner)
	if err != nil {
		return err
	}
	for i := len(set) - 1; i >= 0; i-- {
		if set[i].Complaint != o.Complaint {
			continue
		}
		p, err := libraryOf(routines).Find(set[i].Programme)
		if err == nil && o.Phase > len(p.Phases) { // one of a newer version may have any
			return orderError("phase %d: %s has %d", o.Phase, p.Name, len(p.Phases))
		}
		break
	}
	return nil
}
