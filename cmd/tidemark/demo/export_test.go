package demo

import "tidemark/load"

// Planned is a line of a member's plan, for the tests.
type Planned struct {
	KM      float64
	Typed   bool
	Cut     bool
	WalkRun bool
	Belt    bool
	Halting bool
	Ride    bool
}

// Plan returns what the named runner was to record, by day.
func Plan(name string, today load.Day) map[load.Day]Planned {
	plan := map[load.Day]Planned{}
	for _, m := range members() {
		if m.name != name {
			continue
		}
		for _, d := range m.outings(today) {
			plan[d.date] = Planned{
				KM: d.km, Typed: d.as == typed, Cut: d.as == cutFIT, WalkRun: d.kind == walkRun,
				Belt: d.kind == belt, Halting: d.kind == halting, Ride: d.kind == ride,
			}
		}
	}
	return plan
}
