package words

import (
	"fmt"
	"strings"

	"tidemark/load"
)

// RaceUnknown stands beside whatever is said of a race.
const RaceUnknown = "Whether races differ from other runs is not known."

// raceSentence opens the page on the day of a race.
func raceSentence(r *load.PlannedRace) string {
	name := r.Name
	if name == "" {
		name = "your race"
	}
	if r.Distance > 0 {
		name += ", " + Value(load.Distance, load.Distance.In(r.Distance))
	}
	return "Today: " + name + "."
}

// Race says what is known of the race of a day: how far it stands over the runs
// before, what a study found of such runs, and who accepted it.
func Race(room *load.Headroom) (lines []string) {
	switch figure, ok := load.SpikeFigures[room.RaceClass]; {
	case room.RaceClass == load.NoSpike:
		lines = append(lines, "Its distance is at most 10 % over your longest run of the 30 days before.")
	case ok:
		lines = append(lines, fmt.Sprintf("Its distance is %s your longest run of the 30 days before. Runners of one study were hurt %.2f times as often after such runs (%.2f to %.2f) as after the others; that is theirs, not yours.",
			figure.Over, figure.Ratio, figure.Low, figure.High))
	default:
		lines = append(lines, "How it compares with your longest run of 30 days is not known.")
	}
	lines = append(lines, RaceUnknown)
	if room.Race.By != "" {
		lines = append(lines, "No limit speaks on this day: "+acceptedBy(room.Race.By)+".")
	}
	return lines
}

// acceptedBy names who accepted a race. On one's own machine that is whoever sits at
// it.
func acceptedBy(by string) string {
	name, elsewhere := strings.CutPrefix(by, "elsewhere:") // as journals name persons of another one
	switch {
	case by == "local":
		return "the race was accepted on this machine"
	case elsewhere && name == "local":
		return "the race was accepted on another machine"
	case elsewhere:
		return name + ", elsewhere, accepted the race"
	}
	return by + " accepted the race"
}
