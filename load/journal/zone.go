package journal

import "tidemark/load"

// ZoneDecision is the local time and civil date that one session was given
// when it was imported. It is kept: no newer decoder or zone database moves a
// day.
type ZoneDecision struct {
	Session string // ID
	Sum     Sum    // of its recording
	Zone    load.Zone
	Day     load.Day
}

// ZoneTx keeps zone decisions.
type ZoneTx interface {
	PutZone(RunnerID, ZoneDecision) error          // ErrConflict: decided already
	Zones(RunnerID) ([]ZoneDecision, error)        // in no order
	ZonesOf(RunnerID, Sum) ([]ZoneDecision, error) // in no order
}
