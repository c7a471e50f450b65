package words

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tidemark/load/ramp"
)

// Planned says what a day of the way back holds: "Run 10 × 1 min, 1 min walk between", "Run
// 42 min, with strides" or "Rest".
func Planned(d *ramp.Day) string {
	if d.Kind != ramp.Run {
		return "Rest"
	}
	return "Run " + Turned(d)
}

// Turned says how a run goes, and what was added to it last.
func Turned(d *ramp.Day) string {
	text := Turns(d.Reps, d.Run, d.Walk)
	if with := additions[d.Adds].with; with != "" {
		text += ", " + with
	}
	return text
}

// additions are what comes to the runs after the ladder: how a run has it, and what is to be
// known of it. More run days are nothing of a single run.
var additions = map[ramp.Addition]struct{ with, about string }{
	ramp.RunDays: {"", "One rest day less between runs than before."},
	ramp.Strides: {"with strides", "Strides: a few, relaxed."},
	ramp.Hills:   {"with hills", "Hills: a few, easy."},
	ramp.Speed:   {"with speed", "Speed: a little, short of hard."},
}

// Addition says what is to be known of an addition, and that nobody here says how much;
// empty for none.
func Addition(a ramp.Addition) string {
	switch about := additions[a].about; a {
	case "", ramp.RunDays:
		return about
	default:
		return about + " How many, and on which runs, is for whoever is in charge to say."
	}
}

// Turns says running and walking in turn: "10 × 1 min, 1 min walk between".
func Turns(reps int, run, walk ramp.Minutes) string {
	if reps <= 1 {
		return minutes(run)
	}
	return fmt.Sprintf("%d × %s, %s walk between", reps, minutes(run), minutes(walk))
}

// Waits says that a step of the way back waits: "stage 3 waits", "hills wait".
func Waits(step string) string {
	if strings.HasSuffix(step, "s") {
		return step + " wait"
	}
	return step + " waits"
}

func minutes(m ramp.Minutes) string {
	return strconv.FormatFloat(math.Round(10*float64(m))/10, 'f', -1, 64) + " min"
}
