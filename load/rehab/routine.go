package rehab

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Library is the programmes that can be prescribed: the published ones, and the routines
// that a clinician or the runner has built.
type Library struct{ Own []Programme }

// Find returns the programme of an ID.
func (l Library) Find(id string) (Programme, error) {
	if i := slices.IndexFunc(l.Own, func(p Programme) bool { return p.ID == id }); i >= 0 {
		return l.Own[i], nil
	}
	return FindProgramme(id)
}

// For returns what can be prescribed for a site: the published ones, then one's own.
func (l Library) For(s Site) []Programme {
	out := ProgrammesFor(s)
	for i := range l.Own {
		if slices.Contains(l.Own[i].Sites, s) {
			out = append(out, l.Own[i])
		}
	}
	return out
}

// The bounds of a routine; project defaults.
const (
	mostName        = 100
	mostDoses       = 20
	mostTimesPerDay = 6
)

// Routine makes a programme of one phase from doses, easiest first, for a site. It is an
// error if nobody could do it, or if the site must not do some of it.
func Routine(id, name string, site Site, mostPain int, doses []Dose) (p Programme, err error) {
	name = strings.TrimSpace(name)
	switch {
	case name == "" || len(name) > mostName:
		return p, fmt.Errorf("name the routine, in at most %d characters", mostName)
	case len(doses) == 0:
		return p, errors.New("choose at least one exercise")
	case len(doses) > mostDoses:
		return p, fmt.Errorf("%d exercises: want at most %d", len(doses), mostDoses)
	case mostPain < 0 || mostPain > MaxScore:
		return p, fmt.Errorf("pain up to %d: want 0 to %d", mostPain, MaxScore)
	}
	for i := range doses {
		if err := doses[i].check(site); err != nil {
			return p, err
		}
	}
	doses = slices.Clone(doses)
	slices.SortStableFunc(doses, func(a, b Dose) int { return cmp.Compare(bandOf(a.Exercise), bandOf(b.Exercise)) })
	return Programme{
		ID: id, Name: name, Sites: []Site{site}, MostPain: mostPain, PainRule: fmt.Sprintf("up to %d of 10 in a set", mostPain),
		Source: "a routine of one's own", Status: "built from the catalogue", Phases: []Phase{{Name: "all the time", Doses: doses}},
	}, nil
}

func bandOf(exercise string) int {
	e, _ := FindExercise(exercise) // what is not known has no band
	return e.Band
}

// check reports why a dose cannot be, or must not be for a site.
func (d *Dose) check(site Site) error {
	e, err := FindExercise(d.Exercise)
	if err != nil {
		return err
	}
	if site == AchillesIns && !e.Insertion {
		if instead, ok := e.ForInsertion(); ok {
			return fmt.Errorf("%s: where it hurts at the heel bone it is %s instead", e.Name, instead.Name)
		}
		return fmt.Errorf("%s: not where it hurts at the heel bone", e.Name)
	}
	if err := amountPossible(d.Sets, d.Reps, d.Hold, d.Minutes); err != nil {
		return fmt.Errorf("%s: %w", e.Name, err)
	}
	switch {
	case !(d.Weight >= 0 && d.Weight <= mostWeight):
		return fmt.Errorf("%s: %g kg: want 0 to %d", e.Name, d.Weight, mostWeight)
	case d.Reps == 0 && d.Hold == 0 && d.Minutes == 0:
		return fmt.Errorf("%s: say how much: repetitions, seconds or minutes", e.Name)
	case d.PerDay < 1 || d.PerDay > mostTimesPerDay:
		return fmt.Errorf("%s: %d times a day: want 1 to %d", e.Name, d.PerDay, mostTimesPerDay)
	case d.DaysPerWeek < 1 || d.DaysPerWeek > 7:
		return fmt.Errorf("%s: %d days a week: want 1 to 7", e.Name, d.DaysPerWeek)
	}
	return nil
}

// amountPossible reports what nobody has done.
func amountPossible(sets, reps, hold, minutes int) error {
	for _, n := range []struct {
		name    string
		v, most int
	}{{"sets", sets, mostSets}, {"repetitions", reps, mostReps}, {"seconds held", hold, mostHold}, {"minutes", minutes, mostMinutes}} {
		if n.v < 0 || n.v > n.most {
			return fmt.Errorf("%d %s: want 0 to %d", n.v, n.name, n.most)
		}
	}
	return nil
}

// Unusual says what of the dose is outside its usual range; empty where nothing is.
func (d *Dose) Unusual() string { return Unusual(d.Exercise, d.Sets, d.Reps, d.Hold, d.Minutes) }
