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
	Names    map[Person]string        // of who answered a finding
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
	p.Names = make(map[Person]string)
	for i := range p.Findings {
		by := p.Findings[i].By
		p.Names[by] = b.spoken(tx, by)
	}
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
	return b.journal.turns.do(ctx, b.runner, func() error {
		for range refreshTries {
			if err := b.refresh(ctx, today); !errors.Is(err, ErrConflict) {
				return err
			}
		}
		return nil
	})
}

// refreshTries is how often Refresh begins anew. Each costs as much as a page, and
// where writes come faster than that, more of them would only make it worse. Project
// default.
const refreshTries = 2

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
	q := assess.Query{Measure: load.Distance, From: today - 6, To: today}
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
	s, err := b.standingOf(ctx, &p)
	if err != nil {
		return err
	}
	return b.PutStanding(ctx, s)
}

// standingOf reduces the runner to the row that lists show: p is the whole picture of
// distances.
func (b *Book) standingOf(ctx context.Context, p *Picture) (s Standing, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		in, care, err := b.followed(tx, p.Day)
		if err != nil {
			return err
		}
		s = standing(p, in)
		m := care.Measure(p.Day)
		if m == load.Distance && in.SaidInMinutes() {
			m = load.RunTime
		}
		q := assess.Query{Measure: m, From: p.Day, To: p.Day}
		whole := assess.Assess(in, care, q, nil)
		s.Whole = sight(whole.Headroom, p.Findings, true)
		if q.Measure = load.Distance; in.SaidInMinutes() {
			q.Measure = load.RunTime
		}
		bare := assess.Shared(in, care, q)
		s.Bare = sight(bare.Headroom, p.Findings, false)
		if s.Whole.Held {
			s.Whole.HeldUntil, _ = care.HeldUntil(in, m)
		}
		if s.Bare.Held {
			s.Bare.HeldUntil, _ = care.HeldUntil(in, q.Measure)
		}
		s.Cases = care.Cases(p.Day)
		return b.leaveOutSeen(tx, s.Cases, p.Findings)
	})
	return s, err
}

// standing is the part of a standing that everybody sees.
func standing(p *Picture, in *load.Input) Standing {
	s := Standing{Runner: p.Runner.ID, Revision: p.Runner.Revision, Day: p.Day}
	if len(p.Days) > 0 {
		row := p.Days[len(p.Days)-1]
		s.WeekDistance = load.Distance.Of(row.Acute)
		if change, ok := row.WeekChange.Get(); ok {
			s.WeekBefore, s.HasBefore = load.Distance.Of(row.Acute-change), true
		}
		if tidemark, ok := row.Tidemark.Get(); ok {
			s.Tidemark, s.HasTidemark = load.Distance.Of(tidemark), true
		}
	}
	for i := range p.Days {
		if row := &p.Days[i]; row.Date > p.Day-7 {
			if spike, ok := row.Spike.Get(); ok && (!s.HasSpike || spike > s.Spike) {
				s.Spike, s.SpikeDay, s.HasSpike = spike, row.Date, true
			}
		}
	}
	for i := range in.Sessions {
		s.HasRecord, s.LastRecord = true, max(s.LastRecord, in.Sessions[i].Day)
	}
	for _, r := range in.Races {
		if r.Day >= p.Day && (!s.HasRace || r.Day < s.RaceDay) {
			s.RaceDay, s.RaceName, s.HasRace = r.Day, r.Name, true
		}
	}
	return s
}

// sight is what a list shows of a headroom and of the findings, all or those about load.
func sight(room *load.Headroom, findings []Finding, medical bool) (s Sight) {
	if room != nil {
		s.Headroom = Headroom{string(room.State), room.Measure, room.Amount, room.State != load.RaceDay, room.Decides}
		s.Held = room.State == load.HeldBack || room.State == load.LedByClinician && room.Amount == 0
	}
	for i := range findings {
		f := &findings[i]
		if f.State != Open || !medical && f.Medical() {
			continue
		}
		rests := ""
		if i := slices.IndexFunc(f.Evidence, func(e load.Evidence) bool { return e.Rule == f.Rule }); i >= 0 {
			rests = f.Evidence[i].Text
		}
		if s.OpenFindings == 0 || f.Level > s.Worst {
			s.Worst, s.Since, s.Why = f.Level, f.Day, load.FindRule(f.Rule).Title
			if rests != "" {
				s.Why += ": " + rests
			}
		}
		s.Warnings = append(s.Warnings, Warning{f.ID, f.Rule, f.Level, f.Day, rests})
		s.OpenFindings++
	}
	return s
}
