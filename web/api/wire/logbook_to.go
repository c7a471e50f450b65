package wire

import (
	"encoding/hex"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Digits is a SHA-256 in hexadecimal digits.
type Digits journal.Sum

// MarshalText writes 64 digits in small letters.
func (d Digits) MarshalText() ([]byte, error) { return []byte(journal.Sum(d).String()), nil }

// UnmarshalText reads them.
func (d *Digits) UnmarshalText(text []byte) error {
	if n, err := hex.Decode(d[:], text[:min(len(text), 2*len(d))]); err != nil || n != len(d) || len(text) != 2*len(d) {
		return errDigits
	}
	return nil
}

var (
	errDigits  = errors.New("want a SHA-256 in 64 hexadecimal digits")
	errInstant = errors.New("want an instant with its offset as 2026-03-02T07:10:00+01:00")
)

// Kept is the inverse of FromKept. It fails where a list says what no journal can hold; most
// else is for journal.Kept.Check.
func (b *Logbook) Kept() (*journal.Kept, error) {
	k := &journal.Kept{
		Name: b.Runner.Name, Home: b.Runner.Home, FirstUse: b.Runner.FirstUse,
		Originals: back(b.Originals, func(o *Original) journal.Original {
			return journal.Original{Sum: journal.Sum(o.SHA256), Path: o.Path, Format: o.Format, Size: o.Size, Added: load.Instant(o.Added)}
		}),
		Zones: back(b.Zones, func(z *ZoneDecision) journal.ZoneDecision {
			zone := load.Zone{Name: or(z.Zone), Offset: seconds(z.Offset), Source: load.ZoneSource(z.Source)}
			return journal.ZoneDecision{Session: z.Session, Sum: journal.Sum(z.SHA256), Zone: zone, Day: z.Day}
		}),
		Rests: back(b.Rests, func(r *Rest) journal.Rest { return journal.Rest{Day: r.Day, Sum: journal.Sum(r.SHA256)} }),
		Settings: back(b.Settings, func(s *Setting) journal.Setting {
			return journal.Setting{Key: s.Key, From: s.From, Value: s.Value, By: s.person(), At: s.at()}
		}),
		Edits: back(b.Edits, func(e *Edit) journal.Edit {
			return journal.Edit{Session: e.Session, Field: e.Field, Value: or(e.Value), By: e.person(), At: e.at()}
		}),
		Gaps: back(b.Gaps, func(g *Gap) journal.Gap {
			gap := load.Gap{DaySpan: load.DaySpan{First: g.First, Last: g.Last}, Answer: load.GapAnswer(or(g.Answer)), Runs: g.Runs, Longest: load.Amount(or(g.Longest))}
			return journal.Gap{Gap: gap, By: g.person(), At: g.at()}
		}),
		Races: back(b.Races, func(r *RaceRow) journal.Race {
			return journal.Race{Day: r.Day, Name: r.Name, Distance: load.Amount(or(r.Distance)), Off: r.Off, By: r.person(), At: r.at()}
		}),
		Findings: back(b.Findings, (*KeptFinding).pure),
		States: back(b.States, func(s *FindingState) journal.StateChange {
			return journal.StateChange{Finding: s.Finding, State: journal.State(s.State), By: s.person(), Why: s.Why, Reopened: or(s.Reopened), At: s.at()}
		}),
	}
	b.toCare(k)
	return k, b.toPlan(k)
}

// back translates a list; an empty one is nil, as journals read it.
func back[From, To any](from []From, one func(*From) To) (out []To) {
	for i := range from {
		out = append(out, one(&from[i]))
	}
	return out
}

// or is zero where nothing was said.
func or[T any](v *T) (value T) {
	if v != nil {
		value = *v
	}
	return value
}

// seconds is to the nanosecond; what is beyond a day is refused later.
func seconds(s float64) time.Duration {
	const most = 1e6
	return time.Duration(math.Round(max(-most, min(most, s)) * float64(time.Second)))
}

func (f *KeptFinding) pure() load.Finding {
	return load.Finding{
		ID: f.ID, Rule: f.Rule, Level: f.Level, Subject: f.Subject, Day: f.Day, LastDay: f.LastDay, Value: f.Value, Limit: f.Limit, Unit: f.Unit, Advice: f.Advice,
		Evidence: back(f.Evidence, func(e *KeptEvidence) load.Evidence {
			return load.Evidence{Rule: e.Rule, Day: e.Day, Subject: e.Subject, Level: e.Level, Value: e.Value, Limit: e.Limit, Unit: e.Unit, Text: e.Text, Source: e.Source, Strength: e.Strength}
		}),
	}
}

func (b *Logbook) toCare(k *journal.Kept) {
	k.Complaints = back(b.Complaints, func(c *KeptComplaint) journal.Complaint {
		return journal.Complaint{ID: c.ID, Site: rehab.Site(c.Site), Side: rehab.Side(c.Side), Onset: c.Onset, Bone: c.Bone, Linked: or(c.Linked)}
	})
	k.Steps = back(b.Steps, func(s *ComplaintStep) journal.ComplaintStep {
		return journal.ComplaintStep{Complaint: s.Complaint, Step: rehab.Step{Day: s.Day, Status: rehab.Status(s.Status), Onset: or(s.Onset)}, Linked: or(s.Linked), Why: s.Why, By: s.person(), At: s.at()}
	})
	k.Bases = back(b.Bases, func(v *ComplaintBase) journal.ComplaintBase {
		return journal.ComplaintBase{Complaint: v.Complaint, Base: rehab.Base{From: v.From, Pain: v.Pain, Stiffness: v.Stiffness}, By: v.person(), At: v.at()}
	})
	k.Mornings = back(b.Mornings, func(m *MorningEntry) journal.Morning {
		one := rehab.Morning{Complaint: m.Complaint, Day: m.On, Before: m.Before, During: m.During, After: m.After, Next: m.Next, Stiffness: m.Stiffness, Limp: m.Limp}
		return journal.Morning{Morning: one, Entered: load.Instant(m.Entered), By: journal.Person(m.By)}
	})
	k.RedFlags = back(b.RedFlags, func(f *RedFlag) journal.RedFlag {
		return journal.RedFlag{Flag: f.Flag, Day: f.Day, Lifted: f.Lifted, Why: f.Why, By: f.person(), At: f.at()}
	})
	k.Results = back(b.Results, func(r *Result) journal.Result {
		return journal.Result{Result: rehab.Result{Test: r.Test, Day: r.Day, Left: r.Left, Right: r.Right, Total: r.Total, Note: r.Note}, By: r.person(), At: r.at()}
	})
	k.Notes = back(b.Notes, func(n *Note) journal.Note {
		return journal.Note{Kind: journal.NoteKind(n.Kind), Day: n.Day, Next: or(n.Next), HasNext: n.Next != nil, Text: n.Text, By: n.person(), At: n.at()}
	})
	k.Gates = back(b.Gates, func(g *Gate) journal.Gate {
		gate := ramp.Gate{Day: g.Day, DailyPain: g.DailyPain, Walk: g.Walk, WalkSettled: g.WalkSettled, Raises: g.Raises, Hops: g.Hops, LoadPain: g.LoadPain}
		return journal.Gate{Gate: gate, By: g.person(), At: g.at()}
	})
}

func (b *Logbook) toPlan(k *journal.Kept) error {
	k.Plan.Prescriptions = back(b.Prescriptions, func(p *Prescription) journal.Prescription {
		pure := rehab.Prescription{Complaint: p.Complaint, Programme: p.Programme, Started: p.Started, Phase: or(p.Phase), State: rehab.PlanState(p.State), From: p.From}
		return journal.Prescription{Prescription: pure, Why: p.Why, By: p.person(), At: p.at()}
	})
	k.Plan.Done = back(b.Done, func(d *Done) journal.Done {
		pure := rehab.Done{
			Complaint: d.Complaint, Day: d.Day, Exercise: d.Exercise, Sets: d.Sets, Reps: d.Reps,
			Hold: d.Hold, Minutes: d.Minutes, Weight: d.Weight, Pain: d.Pain, Note: d.Note,
		}
		return journal.Done{Done: pure, By: d.person(), At: d.at()}
	})
	k.Plan.Orders = back(b.Orders, func(o *Order) journal.Order {
		return journal.Order{Order: rehab.Order{Complaint: o.Complaint, Phase: o.Phase, Stage: o.Stage, Until: o.Until}, By: o.person(), At: o.at()}
	})
	k.Plan.Aways = back(b.Aways, func(a *Away) journal.Away {
		return journal.Away{DaySpan: load.DaySpan{First: a.First, Last: a.Last}, Reason: journal.AwayReason(or(a.Reason)), By: a.person(), At: a.at()}
	})
	for i := range b.Routines {
		r, err := b.Routines[i].pure()
		if err != nil {
			return fmt.Errorf("routines[%d]: %w", i, err)
		}
		k.Plan.Routines = append(k.Plan.Routines, r)
	}
	for i := range b.Ramps {
		r, err := b.Ramps[i].pure()
		if err != nil {
			return fmt.Errorf("ramps[%d]: %w", i, err)
		}
		k.Ramps = append(k.Ramps, r)
	}
	return nil
}

func (r *Routine) pure() (journal.Routine, error) {
	doses := back(r.Doses, func(d *Dose) rehab.Dose {
		return rehab.Dose{
			Exercise: d.Exercise, Sets: d.Sets, Reps: d.Reps, Hold: d.Hold, Minutes: d.Minutes, Weight: d.Weight,
			PerDay: d.PerDay, DaysPerWeek: d.DaysPerWeek, MinHours: d.MinHours, Side: d.Side, Note: d.Note,
		}
	})
	p, err := rehab.Routine(r.ID, r.Name, rehab.Site(r.Site), r.MostPain, doses)
	return journal.Routine{Programme: p, By: r.person(), At: r.at()}, err
}

func (r *RampTerms) pure() (out journal.RampTerms, err error) {
	out = journal.RampTerms{Why: r.Why, By: r.person(), At: r.at()}
	out.Terms = ramp.Terms{
		Start: r.Start, Weeks: r.Weeks, Goal: ramp.Goal{Km: or(r.GoalKm), Pace: or(r.Pace), By: or(r.GoalBy), IsBy: r.GoalBy != nil},
		BMI: or(r.BMI), Novice: r.Novice, Table: or(r.Ladder), First: or(r.First), Confirm: r.Confirm, Roof: r.Roof, State: ramp.State(r.State), Until: or(r.Until),
	}
	for _, name := range r.Free {
		i := slices.Index(weekdays[:], name)
		if i < 0 {
			return out, fmt.Errorf("free: day %.20q: want mon, tue, wed, thu, fri, sat or sun", name)
		}
		out.Free[i] = true
	}
	out.Own, err = ramp.ParseLadder(strings.Join(r.Own, ","))
	return out, err
}
