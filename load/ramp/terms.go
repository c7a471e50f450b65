package ramp

import (
	"fmt"
	"slices"

	"tidemark/load"
	"tidemark/load/rehab"
)

// State is where a ramp stands for the person in charge.
type State string

// The states.
const (
	Running State = "running"
	Held    State = "held" // no run until a person lifts it, or a day has come
	Ended   State = "ended"
)

// Terms is what a person set of a ramp. Every change is another one; the last stands.
type Terms struct {
	Start  load.Day
	Weeks  int
	Free   [7]bool // by time.Weekday, Sunday first
	Goal   Goal
	BMI    float64 // 0: not said
	Novice bool
	Table  string // ID of Tables; empty: the default, or Own
	Own    []Stage
	First  int // stage to begin at, where a person says so; 0: by what was run before
	// Confirm says that stages go up only as far as a person has said: to Roof.
	Confirm bool
	Roof    int
	State   State
	Until   load.Day // of Held: the last day; 0: until it is lifted
}

// Set is what a person set of a ramp, and when.
type Set struct {
	Terms
	Why    string
	Day    load.Day // on which it was set, where the runner lives
	At     load.Instant
	Charge bool // by somebody in charge of it
}

// SamePlan reports whether two settings are of one plan: what was said of the one holds for
// the other.
func (s *Set) SamePlan(other *Set) bool {
	return s.Start == other.Start && s.Table == other.Table && slices.Equal(s.Own, other.Own)
}

// Ladder returns the stages that the terms climb.
func (t *Terms) Ladder() []Stage {
	if len(t.Own) > 0 {
		return t.Own
	}
	table, err := FindTable(t.Table)
	if err != nil {
		table, _ = FindTable("") // of a newer version
	}
	return table.Ladder()
}

// Check reports why they cannot be, for a site.
func (t *Terms) Check(site rehab.Site) error {
	if t.State != Running && t.State != Held && t.State != Ended {
		return fmt.Errorf("state %.20q: want running, held or ended", string(t.State))
	}
	if len(t.Own) > 0 {
		if err := CheckLadder(t.Own); err != nil {
			return err
		}
	} else if _, err := FindTable(t.Table); err != nil {
		return err
	}
	if t.Roof < 0 || t.Roof > MostRoof(len(t.Ladder())) {
		return fmt.Errorf("up to stage %d: the ladder has %d, and with what comes after it there are %d", t.Roof, len(t.Ladder()), MostRoof(len(t.Ladder())))
	}
	if t.First < 0 || t.First > len(t.Ladder()) {
		return fmt.Errorf("stage %d: the ladder has %d", t.First, len(t.Ladder()))
	}
	in := t.Inputs(site)
	return in.Check()
}

// Inputs are the terms as the planner takes them, without what was run and said.
func (t *Terms) Inputs(site rehab.Site) Inputs {
	return Inputs{
		Site: site, Start: t.Start, Weeks: t.Weeks, Free: t.Free, Goal: t.Goal, BMI: t.BMI, Novice: t.Novice, Ladder: t.Ladder(), First: t.First,
		Confirm: t.Confirm, Roof: t.Roof,
	}
}

// HeldOn reports whether the ramp is held on a day.
func (t *Terms) HeldOn(day load.Day) bool {
	return t.State == Held && (t.Until == 0 || day <= t.Until)
}
