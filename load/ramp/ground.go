package ramp

import "tidemark/load/rehab"

// grounds are what a site asks of the ground besides flat first, and what comes last (rehab
// reference 5.2 C8: Trials 2023 and Esculier for the knee, uphill a project default).
var grounds = map[rehab.Site]string{
	rehab.Patellar:    "downhill and stairs come last",
	rehab.AchillesIns: "uphill comes last",
}

// How lists how the runs of a plan are run for sites, all their bars together (rehab
// reference 5.2 C2, C7, C8, C9; model 9).
func How(sites []rehab.Site) (lines []string) {
	ground := "on flat ground first"
	for _, site := range sites {
		if last, ok := grounds[site]; ok {
			ground += "; " + last
		}
	}
	return []string{
		ground,
		"at an effort of at most 4 of 10, until two runs of 30 min without a walk have settled",
		"exercises on the same day come after the run",
		"one thing changes at a time: how often, then how long, then more days, then strides, hills and speed, two weeks each",
	}
}
