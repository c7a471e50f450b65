package journal

import (
	"context"
	"fmt"

	"tidemark/load"
)

// Problem is one thing that is wrong with a journal.
type Problem struct {
	Runner  RunnerID // empty: of the journal as a whole
	Subject string   // what is wrong: "store", or a noun and its name
	Text    string
}

// String returns runner, subject and text.
func (p Problem) String() string {
	if p.Runner == "" {
		return p.Subject + ": " + p.Text
	}
	return fmt.Sprintf("runner %s: %s: %s", p.Runner, p.Subject, p.Text)
}

// IntegrityTx asks the store whether its own structure is sound.
type IntegrityTx interface {
	// Integrity returns one line for each fault, none if all is well.
	Integrity() ([]string, error)
	// SessionSums returns the recording of each session, by session ID.
	SessionSums(RunnerID) (map[string]Sum, error)
	// Digest sums up every row of every table that is not derived. Stores of the same
	// rows give the same one.
	Digest() (Digest, error)
}

// Check verifies the structure of the store, the checksum of every original,
// and what must hold between rows. It returns what is wrong, in no particular
// order of weight; the error is for a journal that cannot be read at all.
func (j *Journal) Check(ctx context.Context) ([]Problem, error) {
	var out []Problem
	err := j.store.View(ctx, func(tx Tx) error {
		lines, err := tx.Integrity()
		for _, line := range lines {
			out = append(out, Problem{Subject: "store", Text: line})
		}
		return err
	})
	if err != nil {
		return out, fmt.Errorf("check store: %w", err)
	}
	runners, err := j.Runners(ctx, Local)
	if err != nil {
		return out, fmt.Errorf("check runners: %w", err)
	}
	for _, r := range runners {
		c := checker{journal: j, runner: r.ID}
		if err := c.run(ctx); err != nil {
			return append(out, c.problems...), fmt.Errorf("check runner %s: %w", r.Name, err)
		}
		out = append(out, c.problems...)
	}
	return out, nil
}

// checker goes through one runner. All rows are of one view; the bytes of
// originals, which never change, are read one by one after it.
type checker struct {
	journal  *Journal
	runner   RunnerID
	problems []Problem

	originals []Original
}

func (c *checker) found(subject, format string, args ...any) {
	c.problems = append(c.problems, Problem{c.runner, subject, fmt.Sprintf(format, args...)})
}

func (c *checker) run(ctx context.Context) error {
	err := c.journal.store.View(ctx, func(tx Tx) (err error) {
		if c.originals, err = tx.Originals(c.runner); err != nil {
			return err
		}
		for _, check := range []func(Tx) error{c.sessions, c.edits, c.stamps, c.standing, c.findings} {
			if err := check(tx); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	for _, o := range c.originals {
		if err := c.original(ctx, o.Sum); err != nil {
			return err
		}
	}
	return nil
}

func (c *checker) original(ctx context.Context, sum Sum) error {
	return c.journal.store.View(ctx, func(tx Tx) error {
		o, packed, err := tx.Original(c.runner, sum)
		if err != nil {
			return err
		}
		if _, err := o.unpack(packed); err != nil {
			c.found("original "+sum.String(), "%s: %v", o.Path, err)
		}
		return nil
	})
}

func (c *checker) sessions(tx Tx) error {
	sessions, err := tx.Sessions(c.runner)
	if err != nil {
		return err
	}
	zones, err := tx.Zones(c.runner)
	if err != nil {
		return err
	}
	sums, err := tx.SessionSums(c.runner)
	if err != nil {
		return err
	}
	if len(sums) != len(sessions) {
		c.found("sessions", "%d activities but %d sessions", len(sums), len(sessions))
	}
	kept := make(map[Sum]bool, len(c.originals))
	for _, o := range c.originals {
		kept[o.Sum] = true
	}
	decided := bySession(zones)
	for _, s := range sessions {
		if !kept[sums[s.ID]] {
			c.found("session "+s.ID, "its original is not kept")
		}
		d, ok := decided[s.ID]
		c.zone(s, d, ok)
	}
	return nil
}

func (c *checker) zone(s load.Session, d ZoneDecision, ok bool) {
	subject := "session " + s.ID
	switch {
	case !ok:
		c.found(subject, "no zone decision is kept")
	case d.Zone != s.Zone || d.Day != s.Day && !s.Notes.Has(load.NoteDay):
		c.found(subject, "zone or day %v differ from the decision, %v", s.Day, d.Day)
	case !s.NoStart && load.DayOf(s.Start.In(s.Zone.Offset)) != s.Day:
		c.found(subject, "day %v is not the date of its start", s.Day)
	}
	if s.End < s.Start {
		c.found(subject, "it ends before it starts")
	}
}

// edits lets one outlive its session, as zone decisions do: a newer decoder need
// not find it again. But a session that never was cannot have been edited.
func (c *checker) edits(tx Tx) error {
	edits, err := tx.Edits(c.runner)
	if err != nil {
		return err
	}
	zones, err := tx.Zones(c.runner)
	if err != nil {
		return err
	}
	decided := bySession(zones)
	for _, e := range edits {
		subject := "edit of session " + e.Session
		if _, ok := decided[e.Session]; !ok {
			c.found(subject, "there never was such a session")
		}
		var said load.Edit
		if err := said.Set(e.Field, e.Value); err != nil {
			c.found(subject, "%v", err)
		}
	}
	return nil
}

func (c *checker) stamps(tx Tx) error {
	stamps, err := tx.Stamps(c.runner)
	if err != nil {
		return err
	}
	if _, ok := stamps[SessionPart]; !ok && len(c.originals) > 0 {
		c.found("stamp", "sessions carry no versions")
	}
	mine := c.journal.versions
	for part, v := range stamps {
		if v.Decoder > mine.Decoder || v.Model > mine.Model || v.Rules > mine.Rules {
			c.found("stamp", "%s were made by a newer version of the program", part)
		}
	}
	return nil
}

func (c *checker) standing(tx Tx) error {
	r, err := tx.Runner(c.runner)
	if err != nil {
		return err
	}
	s, err := tx.Standing(c.runner)
	if isNotFound(err) {
		return nil
	}
	if err == nil && s.Revision > r.Revision {
		c.found("standing", "of revision %d, ahead of the runner's %d", s.Revision, r.Revision)
	}
	return err
}

func (c *checker) findings(tx Tx) error {
	findings, err := tx.Findings(c.runner)
	if err != nil {
		return err
	}
	states, err := tx.States(c.runner)
	if err != nil {
		return err
	}
	said := make(map[string]bool, len(findings))
	for _, f := range findings {
		said[f.ID] = true
		if f.State == "" {
			c.found("finding "+f.ID, "no state is kept")
		}
	}
	for _, s := range states {
		if !said[s.Finding] {
			c.found("finding "+s.Finding, "a state is kept, what it said is not")
		}
	}
	return nil
}
