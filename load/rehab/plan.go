package rehab

import (
	"fmt"
	"slices"
	"strings"

	"tidemark/load"
)

// PlanState is where a prescription stands.
type PlanState string

// The states of a prescription.
const (
	Running PlanState = "running"
	Paused  PlanState = "paused"
	Ended   PlanState = "ended"
)

// Prescription is which programme a runner does for a complaint, from a day on. Every change
// is another one; of a complaint the last that begins on a day or before stands.
type Prescription struct {
	Complaint string
	Programme string   // ID of Programmes, or the same at floor level
	Started   load.Day // the first day of its first week
	Phase     int      // from 1, where a person chose one; 0: by the week
	State     PlanState
	From      load.Day // from which this holds
}

// floorSuffix ends the ID of a programme at floor level.
const floorSuffix = "-floor"

// FindProgramme returns the programme of an ID.
func FindProgramme(id string) (Programme, error) {
	for i := range Programmes {
		p := &Programmes[i]
		if p.ID == id {
			return *p, nil
		}
		if slices.Contains(p.Sites, AchillesMid) && p.ID+floorSuffix == id {
			return p.ForInsertion(), nil
		}
	}
	return Programme{}, fmt.Errorf("find programme %.40q: there is none", strings.TrimSpace(id))
}

// ProgrammesFor returns those that are published for a site, and for a tendon that hurts at
// the heel bone the others at floor level.
func ProgrammesFor(s Site) (out []Programme) {
	for i := range Programmes {
		p := &Programmes[i]
		switch {
		case slices.Contains(p.Sites, s):
			out = append(out, *p)
		case s == AchillesIns && slices.Contains(p.Sites, AchillesMid):
			out = append(out, p.ForInsertion())
		case s == Calf && slices.Contains(p.Sites, AchillesMid):
			out = append(out, *p)
		}
	}
	return out
}

// Check reports why the prescription cannot be one of a complaint.
func (p *Prescription) Check(c *Complaint, l Library) error {
	programme, err := l.Find(p.Programme)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(l.For(c.Site), func(q Programme) bool { return q.ID == p.Programme }) {
		return fmt.Errorf("%s is no programme for this site", programme.Name)
	}
	switch {
	case p.Phase < 0 || p.Phase > len(programme.Phases):
		return fmt.Errorf("phase %d: %s has %d", p.Phase, programme.Name, len(programme.Phases))
	case p.State != Running && p.State != Paused && p.State != Ended:
		return fmt.Errorf("state %.20q: want running, paused or ended", string(p.State))
	case p.From < p.Started:
		return fmt.Errorf("it holds from %v, before its first week begins on %v", p.From, p.Started)
	}
	return nil
}

// begins returns the index of the phase that a prescription is in on day, by its weeks or as
// a person chose it; the days on which it was paused are of no week. ok is false before it
// begins, past its end, and while it is paused.
func (p *Prescription) begins(programme *Programme, day, paused load.Day) (index int, ok bool) {
	if p.State != Running || day < p.Started {
		return 0, false
	}
	if p.Phase > 0 {
		return p.Phase - 1, true
	}
	if programme.Phases[0].From == 0 {
		return 0, true // by status alone: the first until a person moves it
	}
	return programme.inWeek(int(day-p.Started-paused)/7 + 1)
}

// Done is what was done of an exercise on a day.
type Done struct {
	Complaint  string
	Day        load.Day
	Exercise   string
	Sets, Reps int
	Hold       int // seconds, instead of repetitions
	Minutes    int
	Weight     float64 // kg added
	Pain       *Score  // worst in it
	Note       string
}

// The bounds of what is logged: beyond them nobody has done it. Project defaults.
const (
	mostSets    = 50
	mostReps    = 500
	mostHold    = 600
	mostMinutes = 240
	mostWeight  = 500
)

// Unusual says what of it is outside the usual range of the exercise; empty where nothing is.
func (d *Done) Unusual() string { return Unusual(d.Exercise, d.Sets, d.Reps, d.Hold, d.Minutes) }

// Check reports why it cannot have been done.
func (d *Done) Check(today load.Day) error {
	if _, err := FindExercise(d.Exercise); err != nil {
		return err
	}
	if err := amountPossible(d.Sets, d.Reps, d.Hold, d.Minutes); err != nil {
		return err
	}
	switch {
	case d.Day > today:
		return fmt.Errorf("%v has not come yet", d.Day)
	case !(d.Weight >= 0 && d.Weight <= mostWeight):
		return fmt.Errorf("%g kg: want 0 to %d", d.Weight, mostWeight)
	case d.Pain != nil && *d.Pain > MaxScore:
		return fmt.Errorf("worst pain %d: want 0 to %d", *d.Pain, MaxScore)
	}
	return nil
}

// work is how much a dose or what was done of it is: repetitions, or seconds.
func work(sets, reps, hold, minutes int) float64 {
	switch {
	case reps > 0:
		return float64(max(1, sets) * reps)
	case hold > 0:
		return float64(max(1, sets) * hold)
	}
	return float64(60 * minutes)
}

// DueOn reports whether a dose is to be done on day, after what was done of its exercise
// before: not more often in seven days than it says, and with its least hours between.
func (d *Dose) DueOn(log []Done, day load.Day) bool {
	var days [7]bool // back from the one before
	for _, done := range log {
		if done.Exercise != d.Exercise || done.Day >= day || done.Day <= day-7 {
			continue
		}
		days[day-done.Day] = true
		if int(day-done.Day)*24 < d.MinHours {
			return false
		}
	}
	n := 0
	for _, did := range days {
		if did {
			n++
		}
	}
	return n < d.DaysPerWeek
}

// timesOn is how often a dose was done on a day, as its sets make up: three sets one by one
// are once 3 x 15.
func (d *Dose) timesOn(log []Done, day load.Day) (times int, logged bool) {
	sets := 0
	for _, done := range log {
		if done.Exercise == d.Exercise && done.Day == day {
			sets, logged = sets+max(1, done.Sets), true
		}
	}
	return sets / max(1, d.Sets), logged
}

// Share is how much of an exercise was done of what was set, at most 1.
type Share struct {
	Exercise      string
	Done, Planned float64 // repetitions or seconds
	Share         float64
}

// DoneOfPlanned returns what was done in the seven days up to end of the doses that were set
// on each of them, exercise by exercise, and the mean over them; an exercise counts by the
// days on which it was set. ok is false where nothing was set on the last of them.
func DoneOfPlanned(set func(load.Day) (Phase, bool), log []Done, end load.Day) (shares []Share, mean float64, ok bool) {
	if _, ok = set(end); !ok {
		return nil, 0, false
	}
	at, days := make(map[string]int), make(map[string]float64)
	for day := end - 6; day <= end; day++ {
		phase, _ := set(day)
		for _, d := range phase.Doses {
			i, known := at[d.Exercise]
			if !known {
				i = len(shares)
				at[d.Exercise], shares = i, append(shares, Share{Exercise: d.Exercise})
			}
			shares[i].Planned += work(d.Sets, d.Reps, d.Hold, d.Minutes) * float64(d.PerDay*d.DaysPerWeek) / 7
			days[d.Exercise]++
		}
	}
	for _, done := range log {
		if i, known := at[done.Exercise]; known && done.Day > end-7 && done.Day <= end {
			shares[i].Done += work(done.Sets, done.Reps, done.Hold, done.Minutes)
		}
	}
	all := 0.0
	for i := range shares {
		s := &shares[i]
		s.Share = min(1, s.Done/s.Planned)
		mean += s.Share * days[s.Exercise]
		all += days[s.Exercise]
	}
	return shares, mean / all, all > 0
}

// Plan is what is done for the complaints of a runner.
type Plan struct {
	Prescriptions []Prescription
	Done          []Done
	Away          []load.DaySpan // days on which nobody asks
	Own           []Programme    // routines that somebody built
	Orders        []Order        // what is allowed in advance
}

// Of returns what was done for one complaint.
func (p *Plan) Of(complaint string) (done []Done) {
	for _, d := range p.Done {
		if d.Complaint == complaint {
			done = append(done, d)
		}
	}
	return done
}

// AwayIn reports whether some day of a span is one on which nobody asks.
func (p *Plan) AwayIn(days load.DaySpan) bool {
	return slices.ContainsFunc(p.Away, func(a load.DaySpan) bool { return a.First <= days.Last && days.First <= a.Last })
}
