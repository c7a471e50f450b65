package wire

import "tidemark/load"

// PlannedRace is a race that somebody planned and accepted.
type PlannedRace struct {
	Day  load.Day `json:"day"`
	Name string   `json:"name"`
	KM   *float64 `json:"distance_km"`
	By   string   `json:"by"`
}

// FromRaces translates planned races.
func FromRaces(races []load.PlannedRace) []PlannedRace {
	lines := []PlannedRace{}
	for _, r := range races {
		line := PlannedRace{Day: r.Day, Name: r.Name, By: r.By}
		if km := load.Distance.In(r.Distance); r.Distance > 0 {
			line.KM = &km
		}
		lines = append(lines, line)
	}
	return lines
}
