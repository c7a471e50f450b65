package ramp

import (
	"fmt"
	"slices"

	"tidemark/load/rehab"
)

// grounds are what a site asks of the ground besides flat first, and what comes last (rehab
// reference 5.2 C8: Trials 2023 and Esculier for the knee, uphill a project default).
var grounds = map[rehab.Site]string{
	rehab.Patellar:    "downhill and stairs come last",
	rehab.AchillesIns: "uphill comes last",
}

// How lists how the runs of a plan are run for sites, all their bars together (rehab
// reference 5.2 C2, C7, C8, C9; model 9).
func How(sites []rehab.Site) (lines []string) {
	ground, last := "on flat ground first", "strides, hills and speed"
	for _, site := range sites {
		if what, ok := grounds[site]; ok {
			ground += "; " + what
			last = "strides, speed and hills"
		}
	}
	return []string{
		ground,
		"at an effort of at most 4 of 10, until two runs of 30 min without a walk have settled",
		"exercises on the same day come after the run",
		"one thing changes at a time: how often, then how long; once the goal has settled twice more run days, then " + last + ", two weeks each",
		"how many strides, which hills and how fast is for whoever is in charge to say; few and relaxed to begin with",
	}
}

// Additions returns in which order things are added for sites: hills come last where a
// ground does (rehab reference 5.2 C2 and C8; model 9).
func Additions(sites []rehab.Site) []Addition {
	for _, site := range sites {
		if _, ok := grounds[site]; ok {
			return []Addition{RunDays, Strides, Speed, Hills}
		}
	}
	return []Addition{RunDays, Strides, Hills, Speed}
}

// additions returns them for all that is followed.
func (in *Inputs) additions() []Addition {
	return Additions(slices.Concat([]rehab.Site{in.Site}, in.Also))
}

var additionWords = map[Addition]string{
	RunDays: "more run days", Strides: "strides", Hills: "hills", Speed: "speed",
}

// StepWords says what a roof of inputs, or what waits below one, is: a stage of the ladder,
// the growth after it, or an addition.
func StepWords(in *Inputs, step int) string {
	above := step - len(in.stages()) - 1
	switch order := in.additions(); {
	case above < 0:
		return fmt.Sprintf("stage %d", step)
	case above == 0:
		return "the growth after the ladder"
	default:
		return additionWords[order[min(above, len(order))-1]]
	}
}

// MostRoof returns the highest roof that there is above so many stages: the last addition.
func MostRoof(stages int) int { return stages + 1 + len(additionWords) }
