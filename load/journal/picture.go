package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
)

// Picture is an assessment of the runner with the findings in their states.
type Picture struct {
	assess.Picture
	Runner   Runner
	Findings []Finding                // stands before the assessment's own
	Offsets  map[string]time.Duration // of each session's zone, ahead of UTC
}

// Picture answers q as of a day. It writes nothing: findings are in the states
// they would have if they were kept now.
func (b *Book) Picture(ctx context.Context, on load.Day, q assess.Query) (p Picture, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		p, err = b.picture(tx, on, q)
		return err
	})
	if err != nil {
		return p, fmt.Errorf("assess runner: %w", err)
	}
	return p, nil
}

func (b *Book) picture(tx Tx, on load.Day, q assess.Query) (p Picture, err error) {
	if p.Runner, err = tx.Runner(b.runner); err != nil {
		return p, err
	}
	in, care, err := b.followed(tx, on)
	if err != nil {
		return p, err
	}
	before, err := tx.Findings(b.runner)
	if err != nil {
		return p, err
	}
	medical, err := b.sees(tx, RightMedical)
	if err != nil {
		return p, err
	}
	before = slices.DeleteFunc(before, func(f Finding) bool {
		return f.Day > on || !medical && f.Medical() // of a later day than is asked about
	})
	if medical {
		p.Picture = assess.Assess(in, care, q, nil)
	} else {
		p.Picture = assess.Shared(in, care, q)
	}
	p.Findings = Reconcile(before, p.Picture.Findings, on, p.Runner.FirstUse)
	if room := p.Headroom; room != nil && room.Race != nil {
		room.Race.By = b.spoken(tx, Person(room.Race.By))
	}
	p.Offsets = make(map[string]time.Duration, len(in.Sessions))
	for i := range in.Sessions {
		p.Offsets[in.Sessions[i].ID] = in.Sessions[i].Zone.Offset
	}
	return p, nil
}

// Refresh brings the kept findings and the standing into line with today, again
// if the runner changes meanwhile, and leaves it to those who go on changing it: they
// refresh afterwards, as does the next page. Asked for a day before what is kept already, it
// leaves all as it is: what has not happened yet on that day is not withdrawn.
func (b *Book) Refresh(ctx context.Context, today load.Day) error {
	done, err := b.journal.turns.wait(ctx, b.runner)
	if err != nil {
		return err
	}
	defer done()
	if _, err := b.Standing(ctx, today); !errors.Is(err, ErrNotFound) {
		return err // somebody else was faster
	}
	for range refreshTries {
		if err := b.refresh(ctx, today); !errors.Is(err, ErrConflict) {
			return err
		}
	}
	return nil
}

// refreshTries is how often Refresh begins anew; project default.
const refreshTries = 5

func (b *Book) refresh(ctx context.Context, today load.Day) error {
	if err := b.read(ctx, RightLoad, func(Tx) error { return nil }); err != nil {
		return err
	}
	b = b.whole()
	kept, err := b.Findings(ctx)
	if err != nil {
		return err
	}
	if slices.ContainsFunc(kept, func(f Finding) bool { return f.Day > today }) {
		return nil
	}
	q := assess.Query{Measure: load.Distance, From: today, To: today}
	p, err := b.Picture(ctx, today, q)
	if err != nil {
		return err
	}
	changed, err := b.keepFindings(ctx, p.Picture.Findings, today, p.Runner.Revision)
	if err != nil {
		return err
	}
	if changed { // and with it the revision, but no row that an input is made of
		b.journal.inputs.carry(b.runner, p.Runner.Revision)
		if p, err = b.Picture(ctx, today, q); err != nil {
			return err
		}
	}
	in, err := b.Input(ctx, today)
	if err != nil {
		return err
	}
	return b.PutStanding(ctx, standing(&p, in.Sessions))
}

// standing reduces a picture of distances to the row that lists show.
func standing(p *Picture, sessions []load.Session) Standing {
	s := Standing{Runner: p.Runner.ID, Revision: p.Runner.Revision, Day: p.Day}
	if len(p.Days) > 0 {
		row := p.Days[len(p.Days)-1]
		s.WeekDistance = load.Distance.Of(row.Acute)
		if tidemark, ok := row.Tidemark.Get(); ok {
			s.Tidemark, s.HasTidemark = load.Distance.Of(tidemark), true
		}
	}
	if room := p.Headroom; room != nil {
		s.Headroom = Headroom{string(room.State), room.Measure, room.Amount, room.State != load.RaceDay, room.Decides}
	}
	for _, f := range p.Findings {
		if f.State == Open {
			s.OpenFindings++
			s.Worst = max(s.Worst, f.Level)
		}
	}
	if len(sessions) > 0 {
		s.HasRecord = true
		s.LastRecord = slices.MaxFunc(sessions, func(a, b load.Session) int { return int(a.Day) - int(b.Day) }).Day
	}
	return s
}
