package words

import (
	"fmt"
	"math"
	"strconv"

	"tidemark/load/ramp"
)

// Planned says what a day of the way back holds: "Run 10 × 1 min, 1 min walk between" or
// "Rest".
func Planned(d *ramp.Day) string {
	if d.Kind != ramp.Run {
		return "Rest"
	}
	return "Run " + Turns(d.Reps, d.Run, d.Walk)
}

// Turns says running and walking in turn: "10 × 1 min, 1 min walk between".
func Turns(reps int, run, walk ramp.Minutes) string {
	if reps <= 1 {
		return minutes(run)
	}
	return fmt.Sprintf("%d × %s, %s walk between", reps, minutes(run), minutes(walk))
}

func minutes(m ramp.Minutes) string {
	return strconv.FormatFloat(math.Round(10*float64(m))/10, 'f', -1, 64) + " min"
}
