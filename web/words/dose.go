package words

import (
	"fmt"
	"strings"

	"tidemark/load/rehab"
)

// Dose says how much of an exercise: "3 × 15, as heavy as can be lifted 15 times, 3 s up and
// 3 s down, twice a day".
func Dose(d *rehab.Dose) string {
	parts := []string{amountOf(d.Sets, d.Reps, d.Hold, d.Minutes)}
	if d.RM > 0 {
		parts = append(parts, fmt.Sprintf("as heavy as can be lifted %d times", d.RM))
	}
	if d.Up > 0 || d.Down > 0 {
		parts = append(parts, fmt.Sprintf("%d s up and %d s down", d.Up, d.Down))
	}
	if d.Weight > 0 {
		parts = append(parts, fmt.Sprintf("with %g kg", d.Weight))
	}
	switch d.PerDay {
	case 0, 1:
	case 2:
		parts = append(parts, "twice a day")
	default:
		parts = append(parts, fmt.Sprintf("%d times a day", d.PerDay))
	}
	if d.Side == "one" {
		parts = append(parts, "on the side that hurts")
	}
	if d.Note != "" {
		parts = append(parts, d.Note)
	}
	return strings.Join(parts, ", ")
}

// Often says on how many days of a week: "every day", "3 days a week, 48 h between".
func Often(d *rehab.Dose) string {
	switch {
	case d.DaysPerWeek == 7:
		return "every day"
	case d.MinHours > 0:
		return fmt.Sprintf("%s a week, at least %d h between", Plural(d.DaysPerWeek, "day"), d.MinHours)
	}
	return Plural(d.DaysPerWeek, "day") + " a week"
}

// Did says how much was done: "3 × 15 with 5 kg".
func Did(d *rehab.Done) string {
	text := amountOf(d.Sets, d.Reps, d.Hold, d.Minutes)
	if d.Weight > 0 {
		text += fmt.Sprintf(" with %g kg", d.Weight)
	}
	return text
}

func amountOf(sets, reps, hold, minutes int) string {
	each := ""
	switch {
	case reps > 0:
		each = fmt.Sprint(reps)
	case hold > 0:
		each = fmt.Sprintf("%d s", hold)
	case minutes > 0:
		each = fmt.Sprintf("%d min", minutes)
	}
	switch {
	case each == "":
		return Plural(sets, "set")
	case sets > 1:
		return fmt.Sprintf("%d × %s", sets, each)
	}
	return each
}
