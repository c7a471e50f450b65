package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// SetUp is everything that is set of something that hurts when it is first seen.
type SetUp struct {
	Complaint rehab.Complaint // with the one step that opens it today, and what is usual
	Sides     []rehab.Side
	Why       string
	Signs     []string    // IDs of the red flags that are there; none: they were asked, and nothing was so
	Programme string      // its ID, for each side; empty: none for now
	Started   load.Day    // the first day of its first week
	Ramp      *ramp.Terms // nil: the way back is for later
	RampWhy   string
	Order     rehab.Order // for each side; one that allows nothing is not given
	Next      load.Day    // of the next visit
	HasNext   bool
}

// SetUp keeps all of it or nothing, for whoever is in charge once it is followed. It is
// ErrConflict if one of the sides is followed already or, for who saw so many changes, if
// another came since; ErrStopped if a programme or the way back would run while a sign stops it. A bone has
// no programme and no way back, and a sign that leaves the way back to a clinician is seen
// before it is set. It returns the IDs of what is followed.
func (b *Book) SetUp(ctx context.Context, seen int, s SetUp) (ids []string, err error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	err = b.write(ctx, RightTell|RightTreat, func(tx Tx) (bool, error) {
		today, err := b.today(tx)
		if err == nil {
			err = b.unchanged(tx, seen)
		}
		if err != nil {
			return false, err
		}
		followed, err := b.followsAny(tx, today)
		if err != nil {
			return false, err
		}
		if ids, err = b.openAll(tx, s.Complaint, s.Sides, s.Why); err != nil {
			return false, err
		}
		// Who owned it alone is led from here on, if a clinician was let in.
		if err := b.need(tx, RightTreat); err != nil {
			return false, err
		}
		if err := b.endBefore(tx, ids, followed, today); err != nil {
			return false, err
		}
		return true, b.setUpAll(tx, ids, &s, today)
	})
	return ids, err
}

// followsAny reports whether anything is followed.
func (b *Book) followsAny(tx Tx, today load.Day) (bool, error) {
	all, err := complaints(tx, b.runner)
	return slices.ContainsFunc(all, func(c rehab.Complaint) bool { return c.Followed(today) }), err
}

// anewWhy is why what was set before is ended where something is set up again.
const anewWhy = "set up anew"

// endBefore ends what an earlier time would bring back of what is set up again: programme and
// order of each, and the way back unless it stands for something else that is followed. What
// is chosen for later, or left out, would begin by itself.
func (b *Book) endBefore(tx Tx, ids []string, followed bool, today load.Day) error {
	set, err := tx.Prescriptions(b.runner)
	if err != nil {
		return err
	}
	orders, err := tx.Orders(b.runner)
	if err != nil {
		return err
	}
	for _, id := range ids {
		for _, p := range slices.Backward(set) {
			if p.Complaint != id {
				continue
			}
			if p.State != rehab.Ended {
				p.State, p.From = rehab.Ended, max(today, p.Started)
				err = tx.PutPrescription(b.runner, Prescription{p.Prescription, anewWhy, b.person, b.now()})
			}
			break
		}
		for _, o := range slices.Backward(orders) {
			if o.Complaint != id {
				continue
			}
			if err == nil && o.Allows() {
				err = b.putOrder(tx, rehab.Order{Complaint: id}, today)
			}
			break
		}
		if err != nil {
			return err
		}
	}
	ramps, err := tx.Ramps(b.runner)
	if n := len(ramps); err == nil && n > 0 && !followed && ramps[n-1].State != ramp.Ended {
		terms := ramps[n-1].Terms
		terms.State, terms.Until = ramp.Ended, 0
		err = tx.PutRamp(b.runner, RampTerms{terms, anewWhy, b.person, b.now()})
	}
	return err
}

// check reports what must not be set at once: anything for a bone, and a way back together with
// a sign that leaves it to a clinician, which is set after the sign was seen.
func (s *SetUp) check() error {
	if s.Complaint.Bone && (s.Programme != "" || s.Ramp != nil) {
		return errors.New("set up: a bone hurts: there is no programme and no way back for it here")
	}
	for _, id := range s.Signs {
		if f, err := rehab.FindRedFlag(id); err == nil && f.Act == rehab.ClinicianLed && s.Ramp != nil {
			return fmt.Errorf("set up: %s: %s: set the way back after it", f.Sign, f.Do)
		}
	}
	return nil
}

// setUpAll keeps what is set besides the complaints.
func (b *Book) setUpAll(tx Tx, ids []string, s *SetUp, today load.Day) error {
	if err := b.putSigns(tx, s.Signs, today); err != nil {
		return err
	}
	if s.Programme != "" {
		care, err := b.followedNow(tx, today)
		if err != nil {
			return err
		}
		if f := care.Stopping(today); f != nil {
			return fmt.Errorf("set up: %s: %s: %w", f.Flag.Sign, f.Flag.Do, ErrStopped)
		}
	}
	for _, id := range ids {
		if s.Programme == "" {
			break
		}
		p := rehab.Prescription{Complaint: id, Programme: s.Programme, Started: s.Started, State: rehab.Running, From: max(today, s.Started)}
		if err := b.canPrescribe(tx, &p, &rehab.Complaint{ID: id, Site: s.Complaint.Site}); err != nil {
			return fmt.Errorf("set up: %w", err)
		}
		if err := tx.PutPrescription(b.runner, Prescription{p, "", b.person, b.now()}); err != nil {
			return err
		}
	}
	if s.Ramp != nil {
		if err := b.beginRamp(tx, *s.Ramp, s.RampWhy, today); err != nil {
			return err
		}
	}
	for _, id := range ids {
		if o := s.Order; o.Allows() {
			o.Complaint = id
			if err := b.putOrder(tx, o, today); err != nil {
				return fmt.Errorf("set up: %w", err)
			}
		}
	}
	if !s.HasNext {
		return nil
	}
	n := Note{Kind: NoteVisit, Day: today, Next: s.Next, HasNext: true, By: b.person, At: b.now()}
	if err := n.Check(); err != nil {
		return err
	}
	return tx.PutNote(b.runner, n)
}

// putSigns keeps which signs are there today, or that none is.
func (b *Book) putSigns(tx Tx, signs []string, today load.Day) error {
	if len(signs) == 0 {
		return tx.PutRedFlag(b.runner, RedFlag{rehab.NothingNew, today, false, "", b.person, b.now()})
	}
	for _, id := range signs {
		if _, err := rehab.FindRedFlag(id); err != nil {
			return err
		}
		if _, err := b.putFlag(tx, id, today, "", false); err != nil {
			return err
		}
	}
	return nil
}

// beginRamp sets a way back for what this transaction has opened.
func (b *Book) beginRamp(tx Tx, terms ramp.Terms, why string, today load.Day) error {
	care, err := b.followedNow(tx, today)
	if err != nil {
		return err
	}
	for i := range care.Flags {
		if f := &care.Flags[i]; f.Stands(today) && f.Flag.Act == rehab.ClinicianLed {
			return fmt.Errorf("set up: %s: %s: set the way back after it", f.Flag.Sign, f.Flag.Do)
		}
	}
	site, err := care.RampSite(today)
	if err != nil {
		return err
	}
	if err := terms.Check(site); err != nil {
		return fmt.Errorf("set ramp: %w", err)
	}
	return b.putRamp(tx, care, today, terms, why)
}
