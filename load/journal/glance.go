package journal

import (
	"context"
	"time"

	"tidemark/load"
)

// Glance is how a runner stood when somebody last looked at a list.
type Glance struct {
	At           load.Instant
	Day          load.Day
	State        string // of the headroom
	HeldUntil    load.Day
	OpenFindings int
	Worst        load.Level
	WeekDistance load.Amount
	LastRecord   load.Day
	Stage        int
	Phase        int
	Flare        load.Day
}

// glanceAgain is how long what a list showed as new stays new; project default.
const glanceAgain = 30 * time.Minute

// GlanceTx keeps glances.
type GlanceTx interface {
	PutGlance(Person, RunnerID, ListKind, Glance) error
	Glances(Person, ListKind) (map[RunnerID]Glance, error)
}

// GlanceOf is what a list shows of a row now.
func GlanceOf(r *Row, at load.Instant) Glance {
	s := &r.Standing
	g := Glance{
		At: at, Day: s.Day, State: s.Whole.State, HeldUntil: s.Whole.HeldUntil, OpenFindings: s.Whole.OpenFindings, Worst: s.Whole.Worst,
		WeekDistance: s.WeekDistance, LastRecord: s.LastRecord,
	}
	for i := range s.Cases {
		c := &s.Cases[i]
		g.Stage, g.Phase, g.Flare = max(g.Stage, c.Stage), max(g.Phase, c.Phase), max(g.Flare, c.Flare)
	}
	return g
}

// Glanced keeps that a person has seen rows of a list: what was new to them stays so for
// half an hour, and then it was seen.
func (j *Journal) Glanced(ctx context.Context, person Person, list ListKind, rows []Row) error {
	now := j.clock()
	var due []*Row
	for i := range rows {
		if r := &rows[i]; r.Before == nil || now.Sub(r.Before.At) >= glanceAgain {
			due = append(due, r)
		}
	}
	if len(due) == 0 {
		return nil
	}
	return j.store.Update(ctx, func(tx Tx) error {
		for _, r := range due {
			if err := tx.PutGlance(person, r.ID, list, GlanceOf(r, now)); err != nil {
				return err
			}
		}
		return nil
	})
}
