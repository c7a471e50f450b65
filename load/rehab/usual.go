package rehab

import (
	"fmt"
	"strings"
)

// Range is the least and the most of something that is usual; zero: not said.
type Range struct{ Least, Most int }

func (r Range) holds(n int) bool { return n == 0 || r.Most == 0 || n >= r.Least && n <= r.Most }

// Usual is how much of an exercise is usual at one time.
type Usual struct {
	Sets, Reps, Hold, Minutes Range
}

// usuals are the ranges that input is asked about: common practice, no source (model 8).
// An exercise that is not in them is not asked about.
var usuals = map[string]Usual{
	"massage":             {Minutes: Range{2, 5}},
	"roll_calf":           {Minutes: Range{1, 4}},
	"stretch_straight":    {Sets: Range{2, 4}, Hold: Range{20, 30}},
	"stretch_bent":        {Sets: Range{2, 4}, Hold: Range{20, 30}},
	"ankle_pumps":         {Sets: Range{1, 3}, Reps: Range{50, 70}},
	"seated_raise_2":      {Sets: Range{1, 4}, Reps: Range{6, 20}},
	"seated_raise_1":      {Sets: Range{1, 4}, Reps: Range{6, 20}},
	"stand_raise_2":       {Sets: Range{1, 4}, Reps: Range{6, 20}},
	"step_raise_2":        {Sets: Range{1, 4}, Reps: Range{6, 20}},
	"stand_raise_1":       {Sets: Range{1, 4}, Reps: Range{6, 20}},
	"step_raise_1":        {Sets: Range{1, 4}, Reps: Range{6, 20}},
	"raise_2up_1down":     {Sets: Range{1, 6}, Reps: Range{6, 15}},
	"floor_lower_1":       {Sets: Range{1, 6}, Reps: Range{6, 15}},
	"floor_lower_1_bent":  {Sets: Range{1, 6}, Reps: Range{6, 15}},
	"step_lower_1":        {Sets: Range{1, 6}, Reps: Range{6, 15}},
	"step_lower_1_bent":   {Sets: Range{1, 6}, Reps: Range{6, 15}},
	"hold_raise_1":        {Sets: Range{1, 5}, Hold: Range{15, 45}},
	"leg_extension_hold":  {Sets: Range{1, 5}, Hold: Range{15, 45}},
	"leg_press_raise":     {Sets: Range{1, 5}, Reps: Range{5, 20}},
	"stand_raise_loaded":  {Sets: Range{1, 5}, Reps: Range{5, 20}},
	"step_raise_1_loaded": {Sets: Range{1, 5}, Reps: Range{5, 20}},
	"rebound_raise":       {Sets: Range{1, 3}, Reps: Range{5, 20}},
}

// Unusual says what of an amount is outside the usual range of its exercise, with the range
// and where it is from: "40 min of soft-tissue massage of the tendon is unusual: 2-3 min to
// begin with, at most 5 min (common practice, no source)". It is empty where nothing is.
func Unusual(exercise string, sets, reps, hold, minutes int) string {
	e, err := FindExercise(exercise)
	usual, known := usuals[exercise]
	if err != nil || !known {
		return ""
	}
	var said []string
	for _, n := range []struct {
		v    int
		r    Range
		unit string
	}{{sets, usual.Sets, "sets"}, {reps, usual.Reps, "repetitions"}, {hold, usual.Hold, "s held"}, {minutes, usual.Minutes, "min"}} {
		if !n.r.holds(n.v) {
			said = append(said, fmt.Sprintf("%d %s", n.v, n.unit))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return fmt.Sprintf("%s of %s is unusual: %s (%s)", strings.Join(said, ", "), e.Name, e.Usual, commonPractice)
}
