package journal

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"

	"tidemark/load"
	"tidemark/load/rehab"
)

// Prescription is a change of what is done for a complaint.
type Prescription struct {
	rehab.Prescription
	Why string
	By  Person
	At  load.Instant
}

// Done is what was done of an exercise, as a person said it.
type Done struct {
	rehab.Done
	By Person
	At load.Instant
}

// Routine is a programme of one's own. One is never changed: a change is another one.
type Routine struct {
	rehab.Programme
	By Person
	At load.Instant
}

// Away is some days on which nobody asks for a programme; without a reason it takes back
// what was said of them.
type Away struct {
	load.DaySpan
	Reason AwayReason
	By     Person
	At     load.Instant
}

// AwayReason is why nobody asks.
type AwayReason string

// The reasons.
const (
	OnTheRoad AwayReason = "away"
	Ill       AwayReason = "ill"
)

// PlanTx keeps programmes and what was done of them.
type PlanTx interface {
	PutPrescription(RunnerID, Prescription) error
	Prescriptions(RunnerID) ([]Prescription, error) // in order of entry
	PutDone(RunnerID, Done) error
	AllDone(RunnerID) ([]Done, error) // in order of entry
	PutAway(RunnerID, Away) error
	Aways(RunnerID) ([]Away, error) // in order of entry
	AddRoutine(RunnerID, Routine) error
	Routines(RunnerID) ([]Routine, error) // in order of entry
	PutOrder(RunnerID, Order) error
	Orders(RunnerID) ([]Order, error) // in order of entry
}

// Prescribe keeps which programme is done for a complaint, or that it is paused or ended.
func (b *Book) Prescribe(ctx context.Context, p rehab.Prescription, why string) error {
	return b.PrescribeAfter(ctx, Unseen, p, why)
}

// PrescribeAfter is Prescribe by who saw how many changes of programmes; ErrConflict if
// another one came since.
func (b *Book) PrescribeAfter(ctx context.Context, seen int, p rehab.Prescription, why string) error {
	need := RightTreat
	if p.State == rehab.Paused {
		need = RightTell // a brake acts at once
	}
	return b.changeComplaint(ctx, need, p.Complaint, func(tx Tx, c *rehab.Complaint) error { return b.prescribe(tx, c, seen, p, why) })
}

func (b *Book) prescribe(tx Tx, c *rehab.Complaint, seen int, p rehab.Prescription, why string) error {
	if err := b.canPrescribe(tx, &p, c); err != nil {
		return err
	}
	if before, err := tx.Prescriptions(b.runner); err != nil || seen != Unseen && seen != len(before) {
		return errors.Join(err, fmt.Errorf("prescribe: it was changed meanwhile: %w", ErrConflict))
	}
	return tx.PutPrescription(b.runner, Prescription{p, why, b.person, b.now()})
}

// canPrescribe reports why a prescription cannot be one of a complaint.
func (b *Book) canPrescribe(tx Tx, p *rehab.Prescription, c *rehab.Complaint) error {
	routines, err := tx.Routines(b.runner)
	if err != nil {
		return err
	}
	return p.Check(c, libraryOf(routines))
}

func libraryOf(routines []Routine) (l rehab.Library) {
	for _, r := range routines {
		l.Own = append(l.Own, r.Programme)
	}
	return l
}

// BuildRoutine keeps a programme of one's own and returns its ID.
func (b *Book) BuildRoutine(ctx context.Context, name string, site rehab.Site, mostPain int, doses []rehab.Dose) (id string, err error) {
	err = b.write(ctx, RightTreat, func(tx Tx) (bool, error) {
		routines, err := tx.Routines(b.runner)
		if err != nil {
			return false, err
		}
		id = fmt.Sprintf("own-%d", len(routines)+1)
		p, err := rehab.Routine(id, name, site, mostPain, doses)
		if err != nil {
			return false, err
		}
		return true, tx.AddRoutine(b.runner, Routine{p, b.person, b.now()})
	})
	return id, err
}

// LogDone keeps what was done of exercises, all or none.
func (b *Book) LogDone(ctx context.Context, done []rehab.Done) error {
	return b.write(ctx, RightRecord, func(tx Tx) (bool, error) {
		today, err := b.today(tx)
		if err != nil {
			return false, err
		}
		rows, err := tx.Complaints(b.runner)
		if err != nil {
			return false, err
		}
		for _, d := range done {
			if !slices.ContainsFunc(rows, func(c Complaint) bool { return c.ID == d.Complaint }) {
				return false, notFound("complaint", d.Complaint)
			}
			if err := d.Check(today); err != nil {
				return false, fmt.Errorf("log %s: %w", d.Exercise, err)
			}
			if err := tx.PutDone(b.runner, Done{d, b.person, b.now()}); err != nil {
				return false, err
			}
		}
		return len(done) > 0, nil
	})
}

// mostAway is how many days one entry may be about; project default.
const mostAway = 400

// CheckAway reports why nobody can be away so.
func CheckAway(days load.DaySpan, reason AwayReason) error {
	switch {
	case reason != OnTheRoad && reason != Ill && reason != "":
		return fmt.Errorf("away: %.20q: want away or ill", string(reason))
	case days.Last < days.First:
		return fmt.Errorf("away: the last day, %v, is before the first, %v", days.Last, days.First)
	case days.Last-days.First >= mostAway:
		return fmt.Errorf("away: more than %d days", mostAway)
	}
	return nil
}

// SayAway keeps days on which nobody asks for a programme; without a reason it takes back
// what was said of them.
func (b *Book) SayAway(ctx context.Context, days load.DaySpan, reason AwayReason) error {
	if err := CheckAway(days, reason); err != nil {
		return err
	}
	return b.write(ctx, RightRecord, func(tx Tx) (bool, error) {
		return true, tx.PutAway(b.runner, Away{days, reason, b.person, b.now()})
	})
}

// Plan is what is done for the complaints of a runner.
type Plan struct {
	Prescriptions []Prescription
	Done          []Done
	Aways         []Away
	Routines      []Routine
	Orders        []Order
}

// Plan returns everything that was ever said of programmes, in order of entry.
func (b *Book) Plan(ctx context.Context) (p Plan, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		p, err = readPlan(tx, b.runner)
		return err
	})
	return p, err
}

func readPlan(tx Tx, runner RunnerID) (p Plan, err error) {
	if p.Prescriptions, err = tx.Prescriptions(runner); err != nil {
		return p, err
	}
	if p.Done, err = tx.AllDone(runner); err != nil {
		return p, err
	}
	if p.Aways, err = tx.Aways(runner); err != nil {
		return p, err
	}
	if p.Routines, err = tx.Routines(runner); err != nil {
		return p, err
	}
	p.Orders, err = tx.Orders(runner)
	return p, err
}

// pure is the plan without who said it, and without when but for orders: none holds before the
// day, where the runner lives, on which it was given. Of each day the last entry stands.
func (p *Plan) pure(home *time.Location) (out rehab.Plan) {
	for _, row := range p.Prescriptions {
		out.Prescriptions = append(out.Prescriptions, row.Prescription)
	}
	for _, row := range p.Done {
		out.Done = append(out.Done, row.Done)
	}
	out.Own = libraryOf(p.Routines).Own
	for _, row := range p.Orders {
		order := row.Order
		order.From = load.DayOf(row.At.Time().In(home))
		out.Orders = append(out.Orders, order)
	}
	away := make(map[load.Day]bool)
	for _, row := range p.Aways {
		for day := row.First; day <= row.Last; day++ {
			away[day] = row.Reason != ""
		}
	}
	for _, day := range slices.Sorted(maps.Keys(away)) {
		switch n := len(out.Away); {
		case !away[day]:
		case n > 0 && out.Away[n-1].Last == day-1:
			out.Away[n-1].Last = day
		default:
			out.Away = append(out.Away, load.DaySpan{First: day, Last: day})
		}
	}
	return out
}
