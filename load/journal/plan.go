package journal

import (
	"context"
	"fmt"
	"slices"

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
}

// Prescribe keeps which programme is done for a complaint, or that it is paused or ended.
func (b *Book) Prescribe(ctx context.Context, p rehab.Prescription, why string) error {
	return b.changeComplaint(ctx, p.Complaint, func(tx Tx, c *rehab.Complaint) error {
		if err := p.Check(c); err != nil {
			return err
		}
		return tx.PutPrescription(b.runner, Prescription{p, why, b.person, b.now()})
	})
}

// LogDone keeps what was done of exercises, all or none.
func (b *Book) LogDone(ctx context.Context, done []rehab.Done) error {
	return b.write(ctx, RightMedical, func(tx Tx) (bool, error) {
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

// SayAway keeps days on which nobody asks for a programme; without a reason it takes back
// what was said of them.
func (b *Book) SayAway(ctx context.Context, days load.DaySpan, reason AwayReason) error {
	switch {
	case reason != OnTheRoad && reason != Ill && reason != "":
		return fmt.Errorf("away: %.20q: want away or ill", string(reason))
	case days.Last < days.First:
		return fmt.Errorf("away: the last day, %v, is before the first, %v", days.Last, days.First)
	case days.Last-days.First >= mostAway:
		return fmt.Errorf("away: more than %d days", mostAway)
	}
	return b.write(ctx, RightMedical, func(tx Tx) (bool, error) {
		return true, tx.PutAway(b.runner, Away{days, reason, b.person, b.now()})
	})
}

// Plan is what is done for the complaints of a runner.
type Plan struct {
	Prescriptions []Prescription
	Done          []Done
	Aways         []Away
}

// Plan returns everything that was ever said of programmes, in order of entry.
func (b *Book) Plan(ctx context.Context) (p Plan, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		if p.Prescriptions, err = tx.Prescriptions(b.runner); err != nil {
			return err
		}
		if p.Done, err = tx.AllDone(b.runner); err != nil {
			return err
		}
		p.Aways, err = tx.Aways(b.runner)
		return err
	})
	return p, err
}
