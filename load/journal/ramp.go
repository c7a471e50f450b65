package journal

import (
	"context"
	"crypto/rand"
	"fmt"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
)

// RampTerms is what a person set of the way back to running. Rows are added, never changed;
// the last stands.
type RampTerms struct {
	ramp.Terms
	Why string
	By  Person
	At  load.Instant
}

// Gate is what a person found of whether running can begin.
type Gate struct {
	ramp.Gate
	By Person
	At load.Instant
}

// Feed is an address under which a calendar can be fetched without a sign-in. Only the hash
// of its secret is kept.
type Feed struct {
	Hash    string // SHA-256 of the secret, in hex
	Revoked bool
	By      Person
	At      load.Instant
}

// RampTx keeps what was set of ramps.
type RampTx interface {
	PutRamp(RunnerID, RampTerms) error
	Ramps(RunnerID) ([]RampTerms, error) // in order of entry
	PutGate(RunnerID, Gate) error
	Gates(RunnerID) ([]Gate, error) // in order of entry
	PutFeed(RunnerID, Feed) error
	Feeds(RunnerID) ([]Feed, error) // in order of entry
	// FeedRunner returns whose the feed of a hash is, and who opened it; ErrNotFound if it is
	// nobody's or was revoked.
	FeedRunner(hash string) (RunnerID, Person, error)
}

// SetRamp keeps the terms of a ramp for what is followed today. It is an error if nothing
// is, if a bone is, or if no plan can be made of them; ErrStopped for one that runs while a
// sign stops it. Less than before may be set by whoever
// may plan, more by whoever is in charge.
func (b *Book) SetRamp(ctx context.Context, terms ramp.Terms, why string) error {
	return b.SetRampAfter(ctx, Unseen, terms, why)
}

// Unseen says that nobody looked at what was set before.
const Unseen = -1

// SetRampAfter is SetRamp by who saw how often it was set; ErrConflict if it was set again
// since.
func (b *Book) SetRampAfter(ctx context.Context, seen int, terms ramp.Terms, why string) error {
	return b.write(ctx, RightPlan, func(tx Tx) (bool, error) { return true, b.setRamp(tx, seen, terms, why) })
}

func (b *Book) setRamp(tx Tx, seen int, terms ramp.Terms, why string) error {
	today, err := b.today(tx)
	if err != nil {
		return err
	}
	_, care, err := b.followed(tx, today)
	if err != nil {
		return err
	}
	site, err := care.RampSite(today)
	if err != nil {
		return err
	}
	if err := terms.Check(site); err != nil {
		return fmt.Errorf("set ramp: %w", err)
	}
	if err := b.needRamp(tx, seen, terms); err != nil {
		return err
	}
	return b.putRamp(tx, care, today, terms, why)
}

// putRamp keeps terms, but none that run while a sign stops them.
func (b *Book) putRamp(tx Tx, care *assess.Care, today load.Day, terms ramp.Terms, why string) error {
	if f := care.Stopping(today); f != nil && terms.State == ramp.Running {
		return fmt.Errorf("set ramp: %s: %s: %w", f.Flag.Sign, f.Flag.Do, ErrStopped)
	}
	return tx.PutRamp(b.runner, RampTerms{terms, why, b.person, b.now()})
}

// needRamp asks who sets more than what was set before to be in charge.
func (b *Book) needRamp(tx Tx, seen int, terms ramp.Terms) error {
	rows, err := tx.Ramps(b.runner)
	if err != nil {
		return err
	}
	if seen != Unseen && seen != len(rows) {
		return fmt.Errorf("set ramp: it was set meanwhile: %w", ErrConflict)
	}
	if n := len(rows); n > 0 && terms.Brakes(&rows[n-1].Terms) {
		return nil
	}
	if err := b.need(tx, RightTreat); err != nil {
		return notInCharge() // whoever may brake it knows of it
	}
	return nil
}

// RampTerms returns the terms that were set last, for who sees medical detail or may brake
// them, and how often any were set; ErrNotFound if none were.
func (b *Book) RampTerms(ctx context.Context) (terms ramp.Terms, seen int, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		if err := b.needSight(tx); err != nil {
			return err
		}
		rows, err := tx.Ramps(b.runner)
		if seen = len(rows); err == nil && seen == 0 {
			err = notFound("ramp", string(b.runner))
		}
		if err == nil {
			terms = rows[seen-1].Terms
		}
		return err
	})
	return terms, seen, err
}

// needSight asks for either of the rights by which one knows of a ramp.
func (b *Book) needSight(tx Tx) error {
	rights, err := b.rights(tx)
	if err == nil && rights&(RightMedical|RightPlan) == 0 {
		err = notFound("ramp", string(b.runner))
	}
	return err
}

// Ramp returns the way back as it stands on a day, for who sees medical detail or may brake
// it; nil: there is none.
func (b *Book) Ramp(ctx context.Context, on load.Day) (r *assess.Ramp, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		if err := b.needSight(tx); err != nil {
			return err
		}
		_, care, err := b.followed(tx, on)
		if err == nil {
			r = care.Ramp
		}
		return err
	})
	return r, err
}

// Ramps returns everything that was ever set of ramps, in order of entry.
func (b *Book) Ramps(ctx context.Context) (out []RampTerms, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		out, err = tx.Ramps(b.runner)
		return err
	})
	return out, err
}

// AddGate keeps what was found of whether running can begin.
func (b *Book) AddGate(ctx context.Context, g ramp.Gate) error {
	return b.write(ctx, RightTell, func(tx Tx) (bool, error) {
		today, err := b.today(tx)
		if err != nil {
			return false, err
		}
		if err := g.Check(today); err != nil {
			return false, fmt.Errorf("add gate: %w", err)
		}
		return true, tx.PutGate(b.runner, Gate{g, b.person, b.now()})
	})
}

// Gates returns everything that was ever found, in order of entry.
func (b *Book) Gates(ctx context.Context) (out []Gate, err error) {
	err = b.read(ctx, RightMedical, func(tx Tx) error {
		out, err = tx.Gates(b.runner)
		return err
	})
	return out, err
}

// OpenFeed makes a secret under which the runner's calendar can be fetched, and revokes the
// one before. The secret is told once and not kept.
func (b *Book) OpenFeed(ctx context.Context) (secret string, err error) {
	secret = rand.Text()
	return secret, b.changeFeed(ctx, secret)
}

// CloseFeed revokes the secret that stands.
func (b *Book) CloseFeed(ctx context.Context) error { return b.changeFeed(ctx, "") }

func (b *Book) changeFeed(ctx context.Context, secret string) error {
	return b.write(ctx, RightShare, func(tx Tx) (bool, error) {
		feeds, err := tx.Feeds(b.runner)
		if err != nil {
			return false, err
		}
		if n := len(feeds); n > 0 && !feeds[n-1].Revoked {
			if err := tx.PutFeed(b.runner, Feed{feeds[n-1].Hash, true, b.person, b.now()}); err != nil {
				return false, err
			}
		}
		if secret == "" {
			return len(feeds) > 0, nil
		}
		return true, tx.PutFeed(b.runner, Feed{secretHash(secret), false, b.person, b.now()})
	})
}

// HasFeed reports whether a calendar can be fetched.
func (b *Book) HasFeed(ctx context.Context) (open bool, err error) {
	err = b.read(ctx, RightShare, func(tx Tx) error {
		feeds, err := tx.Feeds(b.runner)
		if n := len(feeds); n > 0 {
			open = !feeds[n-1].Revoked
		}
		return err
	})
	return open, err
}

// Feed opens the book of the runner whose calendar has the secret, to be read as the
// person who made it; ErrNotFound if there is none.
func (j *Journal) Feed(ctx context.Context, secret string) (book *Book, err error) {
	var runner RunnerID
	var opener Person
	err = j.store.View(ctx, func(tx Tx) error {
		runner, opener, err = tx.FeedRunner(secretHash(secret))
		return err
	})
	if err != nil {
		return nil, err
	}
	return j.Open(ctx, opener, runner)
}

// readRamp adds what is set of the ramp, with the days where the runner lives.
func (b *Book) readRamp(tx Tx, f *assess.Followed, home *time.Location) error {
	ramps, err := tx.Ramps(b.runner)
	if err != nil {
		return err
	}
	for i, row := range ramps {
		charge, err := b.wasInCharge(tx, ramps[:i], &row)
		if err != nil {
			return err
		}
		f.Sets = append(f.Sets, ramp.Set{Terms: row.Terms, Why: row.Why, Day: load.DayOf(row.At.Time().In(home)), At: row.At, Charge: charge})
	}
	if n := len(ramps); n > 0 {
		f.Terms = &ramps[n-1].Terms
	}
	gates, err := tx.Gates(b.runner)
	for _, g := range gates {
		f.Gates = append(f.Gates, ramp.Found{Gate: g.Gate, At: g.At})
	}
	return err
}

// wasInCharge reports whether somebody in charge has set a row: whoever was on that day, since
// nobody else may set more than before.
func (b *Book) wasInCharge(tx Tx, before []RampTerms, row *RampTerms) (bool, error) {
	if n := len(before); n == 0 || !row.Brakes(&before[n-1].Terms) {
		return true, nil
	}
	rights, err := rightsOf(tx, row.By, b.runner, row.At)
	return rights.Has(RightTreat), err
}
