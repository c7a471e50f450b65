package journal

import (
	"context"
	"fmt"
	"strconv"
	"sync"

	"tidemark/load"
	"tidemark/load/assess"
)

// Input gathers what is known about the runner, for an answer as of a day. It is
// shared with other callers and only to be read.
func (b *Book) Input(ctx context.Context, on load.Day) (in *load.Input, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		medical, err := b.sees(tx, RightMedical)
		if err != nil {
			return err
		}
		if in, err = b.input(tx, on); err == nil && !medical {
			in = assess.Bare(in)
		}
		return err
	})
	return in, err
}

// input is what is known of the runner as of a day.
func (b *Book) input(tx Tx, on load.Day) (*load.Input, error) {
	in, _, err := b.followed(tx, on)
	return in, err
}

// followed is input with what is followed of the runner.
func (b *Book) followed(tx Tx, on load.Day) (*load.Input, *assess.Care, error) {
	r, err := tx.Runner(b.runner)
	if err != nil {
		return nil, nil, err
	}
	last, err := b.lastInput(tx, r)
	if err != nil {
		return nil, nil, err
	}
	in, care := last.followed(on)
	return in, care, nil
}

// lastInput reads the runner's rows, or takes them from the last time if the runner has not
// changed since.
func (b *Book) lastInput(tx Tx, r Runner) (last lastInput, err error) {
	last, ok := b.journal.inputs.get(r)
	if ok {
		return last, nil
	}
	last.revision = r.Revision
	if last.Input, err = b.readInput(tx); err != nil {
		return last, err
	}
	if last.kept, err = b.readFollowed(tx, r); err != nil {
		return last, err
	}
	b.journal.inputs.put(r, last)
	return last, nil
}

// followed is the input as of a day, with what is followed then.
func (l *lastInput) followed(on load.Day) (*load.Input, *assess.Care) {
	in := l.Input
	in.Today = on
	return &in, assess.Follow(&in, l.kept)
}

// followedNow is what is followed with what this transaction has written so far, which is
// nobody else's to know before it ends.
func (b *Book) followedNow(tx Tx, on load.Day) (*assess.Care, error) {
	r, err := tx.Runner(b.runner)
	if err != nil {
		return nil, err
	}
	in, err := b.readInput(tx)
	if err != nil {
		return nil, err
	}
	f, err := b.readFollowed(tx, r)
	if err != nil {
		return nil, err
	}
	in.Today = on
	return assess.Follow(&in, f), nil
}

// readFollowed reads what is followed of the runner.
func (b *Book) readFollowed(tx Tx, r Runner) (f assess.Followed, err error) {
	flags, err := tx.RedFlags(b.runner)
	if err != nil {
		return f, err
	}
	f.Flags = raised(flags)
	if f.Complaints, err = complaints(tx, b.runner); err != nil || len(f.Complaints) == 0 {
		return f, err
	}
	entries, err := tx.Mornings(b.runner)
	if err != nil {
		return f, err
	}
	home, err := r.zone()
	if err != nil {
		return f, err
	}
	f.Mornings = mergedMornings(entries, home)
	plan, err := readPlan(tx, b.runner)
	if err != nil {
		return f, err
	}
	f.Plan = plan.pure(home)
	return f, b.readRamp(tx, &f, home)
}

// Care returns what is followed of the runner as of a day.
func (b *Book) Care(ctx context.Context, on load.Day) (care *assess.Care, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		_, care, err = b.followed(tx, on)
		return err
	})
	return care, err
}

// Measure is what the runner's limits are told in on a day, unless something else is
// asked.
func (b *Book) Measure(ctx context.Context, on load.Day) (m load.Measure, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		in, care, err := b.followed(tx, on)
		if err != nil {
			return err
		}
		medical, err := b.sees(tx, RightMedical)
		if err != nil {
			return err
		}
		if m = load.Distance; medical {
			m = care.Measure(on)
		}
		if m == load.Distance && in.SaidInMinutes() {
			m = load.RunTime
		}
		return nil
	})
	return m, err
}

// Imagine asks what one run would do, with what is followed of the runner.
func (b *Book) Imagine(ctx context.Context, on load.Day, m load.Measure, day load.Day, amount load.Amount) (w load.WhatIf, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		in, _, err := b.followed(tx, on)
		if err != nil {
			return err
		}
		_, care, err := b.followed(tx, day)
		if err != nil {
			return err
		}
		medical, err := b.sees(tx, RightMedical)
		switch {
		case err != nil:
		case !medical:
			w = assess.ImagineShared(in, care, m, day, amount)
		default:
			w = assess.Imagine(in, care, m, day, amount)
		}
		return err
	})
	return w, err
}

func (b *Book) readInput(tx Tx) (in load.Input, err error) {
	if in.Sessions, err = tx.Sessions(b.runner); err != nil {
		return in, err
	}
	if in.Rests, err = tx.Rests(b.runner); err != nil {
		return in, err
	}
	if in.Gaps, err = readGaps(tx, b.runner); err != nil {
		return in, err
	}
	races, err := tx.Races(b.runner)
	if err != nil {
		return in, err
	}
	in.Races = Planned(races)
	settings, err := tx.Settings(b.runner)
	if err != nil {
		return in, err
	}
	in.Settings, err = schedule(settings)
	return in, err
}

// schedule reads the settings that are numbers of load.
func schedule(settings []Setting) (load.Schedule, error) {
	var changes []load.Change
	for _, s := range settings {
		if _, err := load.FindSetting(s.Key); err != nil {
			continue // of another package
		}
		v, err := strconv.ParseFloat(s.Value, 64)
		if err != nil {
			return load.Schedule{}, fmt.Errorf("read setting %s: %w", s.Key, ErrDamaged)
		}
		changes = append(changes, load.Change{Key: s.Key, From: s.From, Value: v})
	}
	return load.NewSchedule(changes)
}

// inputs holds what was last read of some runners. Every write about a runner
// raises their revision, so rows of the same revision are the same.
type inputs struct {
	mu   sync.Mutex
	of   map[RunnerID]lastInput
	held int // sessions in all of them
}

type lastInput struct {
	revision int64
	load.Input
	kept assess.Followed
}

// mostHeld is how many sessions are held at most, of about a kilobyte each:
// project default.
const mostHeld = 10_000

func (c *inputs) get(r Runner) (lastInput, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	last, ok := c.of[r.ID]
	return last, ok && last.revision == r.Revision
}

// carry takes over what was read of a runner of a revision to the next one, where what
// was written is no part of an input.
func (c *inputs) carry(id RunnerID, revision int64) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if last, ok := c.of[id]; ok && last.revision == revision {
		last.revision++
		c.of[id] = last
	}
}

// put drops whichever others are in the way.
func (c *inputs) put(r Runner, in lastInput) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.drop(r.ID)
	if len(in.Sessions) > mostHeld {
		return
	}
	for id := range c.of {
		if c.held+len(in.Sessions) <= mostHeld {
			break
		}
		c.drop(id)
	}
	if c.of == nil {
		c.of = make(map[RunnerID]lastInput)
	}
	c.of[r.ID] = in
	c.held += len(in.Sessions)
}

func (c *inputs) drop(id RunnerID) {
	c.held -= len(c.of[id].Sessions)
	delete(c.of, id)
}
