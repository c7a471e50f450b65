package wire

import (
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/ramp"
)

// FromKept writes down all that is kept. files are the members of the zip in which the
// originals lie, in their order.
func FromKept(k *journal.Kept, files []string) Logbook {
	b := Logbook{
		Format: LogbookFormat, Version: LogbookVersion,
		Runner: Owner{k.Name, k.Home, k.FirstUse},
		Zones: rows(k.Zones, func(z *journal.ZoneDecision) ZoneDecision {
			return ZoneDecision{z.Session, Digits(z.Sum), text(z.Zone.Name), z.Zone.Offset.Seconds(), string(z.Zone.Source), z.Day}
		}),
		Rests: rows(k.Rests, func(r *journal.Rest) Rest { return Rest{r.Day, Digits(r.Sum)} }),
		Settings: rows(k.Settings, func(s *journal.Setting) Setting {
			return Setting{s.Key, s.From, s.Value, saidBy(s.By, s.At)}
		}),
		Edits: rows(k.Edits, func(e *journal.Edit) Edit {
			return Edit{e.Session, e.Field, text(e.Value), saidBy(e.By, e.At)}
		}),
		Gaps: rows(k.Gaps, func(g *journal.Gap) Gap {
			return Gap{g.First, g.Last, text(string(g.Answer)), g.Runs, amount(g.Longest), saidBy(g.By, g.At)}
		}),
		Races: rows(k.Races, func(r *journal.Race) RaceRow {
			return RaceRow{r.Day, r.Name, amount(r.Distance), r.Off, saidBy(r.By, r.At)}
		}),
		Findings: rows(k.Findings, keptFinding),
		States: rows(k.States, func(s *journal.StateChange) FindingState {
			return FindingState{s.Finding, string(s.State), s.Why, some(s.Reopened), saidBy(s.By, s.At)}
		}),
	}
	b.Originals = make([]Original, len(k.Originals))
	for i, o := range k.Originals {
		b.Originals[i] = Original{Digits(o.Sum), files[i], o.Path, o.Format, o.Size, Moment(o.Added)}
	}
	b.fromCare(k)
	b.fromPlan(k)
	return b
}

// rows translates a list; an empty one is no null.
func rows[From, To any](from []From, one func(*From) To) []To {
	out := make([]To, len(from))
	for i := range from {
		out[i] = one(&from[i])
	}
	return out
}

// some is null where zero means that nothing was said.
func some[T comparable](v T) *T {
	var zero T
	if v == zero {
		return nil
	}
	return &v
}

func amount(a load.Amount) *int64 { return some(int64(a)) }

// dayOr is null where a day is not said.
func dayOr(d load.Day, said bool) *load.Day {
	if !said {
		return nil
	}
	return &d
}

func keptFinding(f *load.Finding) KeptFinding {
	return KeptFinding{
		f.ID, f.Rule, f.Level, f.Subject, f.Day, f.LastDay, f.Value, f.Limit, f.Unit, f.Advice,
		rows(f.Evidence, func(e *load.Evidence) KeptEvidence {
			return KeptEvidence{e.Rule, e.Day, e.Subject, e.Level, e.Value, e.Limit, e.Unit, e.Text, e.Source, e.Strength}
		}),
	}
}

func (b *Logbook) fromCare(k *journal.Kept) {
	b.Complaints = rows(k.Complaints, func(c *journal.Complaint) KeptComplaint {
		return KeptComplaint{c.ID, string(c.Site), string(c.Side), c.Onset, c.Bone, text(c.Linked)}
	})
	b.Steps = rows(k.Steps, func(s *journal.ComplaintStep) ComplaintStep {
		return ComplaintStep{s.Complaint, s.Day, string(s.Status), dayOr(s.Onset, s.Onset != 0), text(s.Linked), s.Why, saidBy(s.By, s.At)}
	})
	b.Bases = rows(k.Bases, func(v *journal.ComplaintBase) ComplaintBase {
		return ComplaintBase{v.Complaint, v.From, v.Pain, v.Stiffness, saidBy(v.By, v.At)}
	})
	b.Mornings = rows(k.Mornings, func(m *journal.Morning) MorningEntry {
		return MorningEntry{m.Complaint, m.Day, m.Before, m.During, m.After, m.Next, m.Stiffness, m.Limp, Moment(m.Entered), string(m.By)}
	})
	b.RedFlags = rows(k.RedFlags, func(f *journal.RedFlag) RedFlag {
		return RedFlag{f.Flag, f.Day, f.Lifted, f.Why, saidBy(f.By, f.At)}
	})
	b.Results = rows(k.Results, func(r *journal.Result) Result {
		return Result{r.Test, r.Day, r.Left, r.Right, r.Total, r.Note, saidBy(r.By, r.At)}
	})
	b.Notes = rows(k.Notes, func(n *journal.Note) Note {
		return Note{string(n.Kind), n.Day, dayOr(n.Next, n.HasNext), n.Text, saidBy(n.By, n.At)}
	})
	b.Gates = rows(k.Gates, func(g *journal.Gate) Gate {
		return Gate{g.Day, g.DailyPain, g.Walk, g.WalkSettled, g.Raises, g.Hops, g.LoadPain, saidBy(g.By, g.At)}
	})
}

func (b *Logbook) fromPlan(k *journal.Kept) {
	b.Prescriptions = rows(k.Plan.Prescriptions, func(p *journal.Prescription) Prescription {
		return Prescription{p.Complaint, p.Programme, p.Started, some(p.Phase), string(p.State), p.From, p.Why, saidBy(p.By, p.At)}
	})
	b.Done = rows(k.Plan.Done, func(d *journal.Done) Done {
		return Done{d.Complaint, d.Day, d.Exercise, d.Sets, d.Reps, d.Hold, d.Minutes, d.Weight, d.Pain, d.Note, saidBy(d.By, d.At)}
	})
	b.Routines = rows(k.Plan.Routines, fromRoutine)
	b.Orders = rows(k.Plan.Orders, func(o *journal.Order) Order {
		return Order{o.Complaint, o.Phase, o.Stage, o.Until, saidBy(o.By, o.At)}
	})
	b.Aways = rows(k.Plan.Aways, func(a *journal.Away) Away {
		return Away{a.First, a.Last, text(string(a.Reason)), saidBy(a.By, a.At)}
	})
	b.Ramps = rows(k.Ramps, fromTerms)
}

// fromRoutine writes a routine down: a journal's has one site and one phase.
func fromRoutine(r *journal.Routine) Routine {
	out := Routine{ID: r.ID, Name: r.Name, Site: string(r.Sites[0]), MostPain: r.MostPain, Said: saidBy(r.By, r.At)}
	for _, d := range r.Phases[0].Doses {
		out.Doses = append(out.Doses, Dose{d.Exercise, d.Sets, d.Reps, d.Hold, d.Minutes, d.Weight, d.PerDay, d.DaysPerWeek, d.MinHours, d.Side, d.Note})
	}
	return out
}

func fromTerms(r *journal.RampTerms) RampTerms {
	out := RampTerms{
		Start: r.Start, Weeks: r.Weeks, Free: []string{}, GoalKm: some(r.Goal.Km), Pace: some(r.Goal.Pace), BMI: some(r.BMI), Novice: r.Novice,
		Ladder: text(r.Table), Own: rows(r.Own, func(s *ramp.Stage) string { return s.Notation() }), First: some(r.First),
		Confirm: r.Confirm, Roof: r.Roof, State: string(r.State), Until: some(r.Until), Why: r.Why, Said: saidBy(r.By, r.At),
	}
	if r.Goal.IsBy {
		out.GoalBy = &r.Goal.By
	}
	for i := range weekdays {
		if day := (i + 1) % len(weekdays); r.Free[day] { // from Monday on
			out.Free = append(out.Free, weekdays[day])
		}
	}
	return out
}
