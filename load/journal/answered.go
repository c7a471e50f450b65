package journal

import (
	"slices"

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

// leaveOutSeen takes out of what waits the flares that were looked at since they were said:
// that a clinician, or somebody at the machine, has answered, or of which notes of a visit
// were written. The runner's own answer is none for who looks after them.
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
	notes, err := tx.Notes(b.runner)
	if err != nil {
		return err
	}
	mornings, err := tx.Mornings(b.runner)
	if err != nil {
		return err
	}
	for i := range cases {
		c := &cases[i]
		c.Waits = slices.DeleteFunc(c.Waits, func(w assess.Wait) bool {
			if !waits(w) {
				return false
			}
			said := lastSaid(mornings, c.ID, w.Since)
			f, ok := FlareOf(findings, c.ID, w.Since)
			return ok && seenBy(states, grants, f.ID, said) || notedSince(notes, said)
		})
	}
	return nil
}

// lastSaid is when something was last said of a morning of a complaint.
func lastSaid(mornings []Morning, complaint string, day load.Day) (at load.Instant) {
	for i := range mornings {
		if m := &mornings[i]; m.Complaint == complaint && m.Day == day {
			at = max(at, m.Entered)
		}
	}
	return at
}

// notedSince reports whether notes of a visit were written after an instant; the day of the
// next alone is none.
func notedSince(notes []Note, said load.Instant) bool {
	return slices.ContainsFunc(notes, func(n Note) bool { return n.Kind == NoteVisit && n.Text != "" && n.At > said })
}

// seenBy reports whether a clinician, or somebody at the machine, has answered a finding after
// an instant.
func seenBy(states []StateChange, grants []Grant, finding string, said load.Instant) bool {
	return slices.ContainsFunc(states, func(s StateChange) bool {
		return s.Finding == finding && s.State != Open && s.State != Withdrawn && s.At >= said &&
			(s.By == Local || slices.ContainsFunc(grants, func(g Grant) bool { return g.Person == s.By && g.Role == RoleClinician }))
	})
}
