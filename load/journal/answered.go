package journal

import (
	"slices"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
)

// FlareOf returns the finding that tells of the morning of a complaint on which it flared; ok
// is false where none does.
func FlareOf(findings []Finding, complaint string, morning load.Day) (f Finding, ok bool) {
	subject := complaint + "-" + morning.String()
	i := slices.IndexFunc(findings, func(f Finding) bool {
		return slices.ContainsFunc(f.Evidence, func(e load.Evidence) bool { return e.Rule == load.RuleMorningFlared && e.Subject == subject })
	})
	if i < 0 {
		return f, false
	}
	return findings[i], true
}

// leaveOutSeen takes out of what waits the flares that a clinician, or somebody at the
// machine, has answered since: the runner's own answer is none for who looks after them.
func (b *Book) leaveOutSeen(tx Tx, cases []assess.Case, findings []Finding) error {
	waits := func(w assess.Wait) bool { return w.Kind == assess.WaitFlare }
	if !slices.ContainsFunc(cases, func(c assess.Case) bool { return slices.ContainsFunc(c.Waits, waits) }) {
		return nil
	}
	states, err := tx.States(b.runner)
	if err != nil {
		return err
	}
	grants, err := tx.Grants(b.runner)
	if err != nil {
		return err
	}
	r, err := tx.Runner(b.runner)
	if err != nil {
		return err
	}
	home, err := r.zone()
	if err != nil {
		return err
	}
	for i := range cases {
		c := &cases[i]
		c.Waits = slices.DeleteFunc(c.Waits, func(w assess.Wait) bool {
			f, ok := FlareOf(findings, c.ID, w.Since)
			return waits(w) && ok && seenBy(states, grants, f.ID, w.Since, home)
		})
	}
	return nil
}

// seenBy reports whether a clinician, or somebody at the machine, has answered a finding on a
// day or later.
func seenBy(states []StateChange, grants []Grant, finding string, since load.Day, home *time.Location) bool {
	return slices.ContainsFunc(states, func(s StateChange) bool {
		return s.Finding == finding && s.State != Open && s.State != Withdrawn && load.DayOf(s.At.Time().In(home)) >= since &&
			(s.By == Local || slices.ContainsFunc(grants, func(g Grant) bool { return g.Person == s.By && g.Role == RoleClinician }))
	})
}
