package rehab

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Outcome is a test or a questionnaire whose result is one number, or one a side. No
// wording of any questionnaire is kept: totals alone, or sub-scores by number.
type Outcome struct {
	ID, Name, Unit string
	Sides          bool // measured left and right
	Low, High      float64
	Whole          bool
	HigherIsBetter bool
	Noise          float64 // a change up to it is within what repeats of the test differ by; 0: none known
	Clear          float64 // a change from it on is one that people notice; 0: none known
	How            string
	Source         string
}

// Outcomes lists them (rehab reference 2).
var Outcomes = []Outcome{
	{"heel-rise", "Heel raises on one leg", "reps", true, 0, 200, true, true, 6.2, 0, "to fatigue, 30 a minute, fingertips on a wall; stop when height, pace or knee fails twice", "Hébert-Losier et al. 2017, Physiotherapy 103:446: limits of agreement about 6.2"},
	{"knee-to-wall", "Knee to wall", "cm", true, 0, 30, false, true, 1.9, 0, "toes to wall with the heel down and the knee touching", "Powden et al. 2015, Man Ther 20:524: 1.9 cm by the same hands, 1.6 between hands"},
	{"hop", "Hops on one leg", "reps", true, 0, 200, true, true, 0, 0, "how many without more than 2 of 10", "project default"},
	{"visa-a", "VISA-A, total", "of 100", false, 0, 100, true, true, 0, 14, "the total, or sub-scores v1 to v8", "Robinson et al. 2001; Lagas et al. 2021, as cited: 14 at 12 weeks, 7 at 24; McCormack et al. 2015: 6.5 at the heel bone"},
	{"visa-p", "VISA-P, total", "of 100", false, 0, 100, true, true, 0, 13, "the total", "Hernandez-Sanchez et al. 2014: 13 points"},
	{"tendins-a", "TENDINS-A, total", "of 100", false, 0, 100, true, false, 18.1, 0, "the total; higher is worse", "Murphy et al. 2023: SEM 6.54, reported 12; 1.96 x sqrt 2 x SEM is 18.1"},
	{"psfs", "Own activities, mean", "of 10", false, 0, 10, false, true, 0, 2, "three to five activities, 0 unable to 10 as before, their mean", "Stratford 1995, value from memory"},
}

// FindOutcome returns the row of an ID.
func FindOutcome(id string) (Outcome, error) {
	i := slices.IndexFunc(Outcomes, func(o Outcome) bool { return o.ID == id })
	if i < 0 {
		return Outcome{}, fmt.Errorf("find test %.20q: there is none", id)
	}
	return Outcomes[i], nil
}

// Check reports why v cannot be a result.
func (o Outcome) Check(v float64) error {
	switch {
	case !(v >= o.Low && v <= o.High):
		return fmt.Errorf("%s: want %g to %g %s, not %g", o.Name, o.Low, o.High, o.Unit, v)
	case o.Whole && v != math.Trunc(v):
		return fmt.Errorf("%s: want a whole number, not %g", o.Name, v)
	}
	return nil
}

// Change is how a difference of two results is to be read.
type Change string

// The readings of a change.
const (
	ChangeNone     Change = "none"
	ChangeNoise    Change = "noise"    // within what repeats differ by
	ChangePossible Change = "possible" // some studies call it noticed
	ChangeClear    Change = "clear"
	ChangeUnknown  Change = "unknown" // nobody has published how large a change must be
)

// visaPossible is from where on a change of VISA-A may be noticed: studies disagree by a
// factor of two, and the band is a project default.
const visaPossible = 7

// Read returns how a change from one result to a later one is to be read.
func (o Outcome) Read(from, to float64) Change {
	by := math.Abs(to - from)
	switch {
	case by == 0:
		return ChangeNone
	case o.Noise > 0 && by <= o.Noise:
		return ChangeNoise
	case o.Noise > 0 || o.Clear > 0 && by >= o.Clear:
		return ChangeClear
	case o.ID == "visa-a" && by >= visaPossible:
		return ChangePossible
	case o.Clear > 0:
		return ChangeNoise
	}
	return ChangeUnknown
}

// Symmetry returns the share of the side that hurts against the other, 0.75 for 75 %; ok is
// false where both hurt, or the other side is zero.
func Symmetry(hurts, other float64, both bool) (share float64, ok bool) {
	if both || other <= 0 {
		return 0, false
	}
	return hurts / other, true
}

// ErrVISA is the reason when sub-scores cannot be those of VISA-A.
var ErrVISA = errors.New("not a sub-score of VISA-A")

// visaLast are the values of sub-score 8, by its branch (Robinson et al. 2001; value from
// memory, and seen in public source code).
var visaLast = map[string][]int{"a": {0, 7, 14, 21, 30}, "b": {0, 4, 10, 14, 20}, "c": {0, 2, 5, 7, 10}}

// VISATotal adds the eight sub-scores of VISA-A, 0 to 100: six of 0 to 10, one of 0, 4, 7
// or 10, and one that depends on its branch a, b or c. The error is around ErrVISA.
func VISATotal(first [6]int, seventh, eighth int, branch string) (total int, err error) {
	for i, v := range first {
		if v < 0 || v > 10 {
			return 0, fmt.Errorf("v%d %d: want 0 to 10: %w", i+1, v, ErrVISA)
		}
		total += v
	}
	if !slices.Contains([]int{0, 4, 7, 10}, seventh) {
		return 0, fmt.Errorf("v7 %d: want 0, 4, 7 or 10: %w", seventh, ErrVISA)
	}
	if !slices.Contains(visaLast[branch], eighth) {
		return 0, fmt.Errorf("v8 %d of branch %q: want one of %v: %w", eighth, branch, visaLast[branch], ErrVISA)
	}
	return total + seventh + eighth, nil
}

// Felt is how a change of a 0 to 10 score was felt by people with lasting pain.
type Felt string

// What was felt (Salaffi et al. 2004, Eur J Pain 8:283; 825 people): 1 point or 15 % slightly
// better, 2 points or 33 % much better. Where points and percent disagree it is unclear,
// project default.
const (
	FeltSame     Felt = "no better"
	FeltUnclear  Felt = "unclear"
	FeltSlightly Felt = "slightly better"
	FeltMuch     Felt = "much better"
)

// Feels returns how a change from one score to a lower one was felt.
func Feels(from, to float64) Felt {
	points := from - to
	if points <= 0 || from <= 0 {
		return FeltSame
	}
	percent := 100 * points / from
	switch {
	case points >= 2 && percent >= 33:
		return FeltMuch
	case points >= 1 && percent >= 15:
		return FeltSlightly
	case points >= 1 || percent >= 15:
		return FeltUnclear
	}
	return FeltSame
}

// LeastDetectable returns the change that a test must show to be more than its own error in
// 19 of 20 repeats: 1.96 x sqrt 2 x the standard error of measurement.
func LeastDetectable(sem float64) float64 { return 1.96 * math.Sqrt2 * sem }
