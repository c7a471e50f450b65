package journal

import (
	"context"
	"reflect"
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

	Then *Glance // the look before; nil: there was none
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

// before returns what a look at an instant is held against: the one before, as long as this
// one goes on.
func (g *Glance) before(now load.Instant) *Glance {
	if now.Sub(g.At) < glanceAgain {
		return g.Then
	}
	return g
}

// Glanced keeps that a person sees rows of a list: what is new to them stays so for half an
// hour, and then it was seen. Rows that are as they were at the last look are not written.
func (j *Journal) Glanced(ctx context.Context, person Person, list ListKind, rows []Row) error {
	now := j.clock()
	changed := make(map[RunnerID]Glance)
	for i := range rows {
		if g := glanceNow(&rows[i], now); rows[i].last == nil || !reflect.DeepEqual(g, *rows[i].last) {
			changed[rows[i].ID] = g
		}
	}
	if len(changed) == 0 {
		return nil
	}
	return j.store.Update(ctx, func(tx Tx) error {
		for id, g := range changed {
			if err := tx.PutGlance(person, id, list, g); err != nil {
				return err
			}
		}
		return nil
	})
}

// glanceNow is what is kept of a row that somebody sees now: the look that goes on, held
// against the one before it.
func glanceNow(r *Row, now load.Instant) Glance {
	g := GlanceOf(r, now)
	if r.last != nil && now.Sub(r.last.At) < glanceAgain {
		g.At = r.last.At
	}
	if r.Before != nil {
		then := *r.Before
		then.Then = nil
		g.Then = &then
	}
	return g
}
