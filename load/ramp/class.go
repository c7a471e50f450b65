package ramp

import "tidemark/load/rehab"

// Class is how much a run asked of a runner now; it falls as the tendon recovers.
type Class string

// The classes (Silbernagel and Crossley 2015, J Orthop Sports Phys Ther 45:876; values from
// memory).
const (
	Light  Class = "light"
	Medium Class = "medium"
	High   Class = "high"
)

// classes are their bounds, and the rest days before the next run of the same class.
var classes = []struct {
	class        Class
	during, next rehab.Score
	effort       int // Borg, 6 to 20
	rest         int
}{{Light, 2, 2, 11, 0}, {Medium, 3, 4, 15, 2}, {High, 10, 10, 20, 3}}

// ClassOf returns the class of a run by the worst of its pain, the next day's and its effort
// on the scale of 6 to 20, and the rest days that it asks for. The planner rests one day at
// least all the same.
func ClassOf(during, next rehab.Score, effort int) (class Class, rest int) {
	for _, c := range classes {
		if during <= c.during && next <= c.next && effort <= c.effort {
			return c.class, c.rest
		}
	}
	last := classes[len(classes)-1]
	return last.class, last.rest
}

// shinEntry are the distances, in miles at 6 miles an hour until pain of 2 of 10, below which
// each phase of the shin's six is begun with (Moen et al. 2012, as cited).
var shinEntry = []struct {
	upTo  float64
	phase int
}{{0.25, 1}, {0.5, 2}, {0.75, 3}, {1, 4}}

// ShinEntry returns the phase that a test run of the shin begins with, by the miles that were
// run until the pain was 2 of 10.
func ShinEntry(miles float64) (phase int) {
	for _, e := range shinEntry {
		if miles <= e.upTo {
			return e.phase
		}
	}
	return len(shinEntry) + 1
}
