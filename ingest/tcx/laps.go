package tcx

import (
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// totals adds up the laps.
func (act *activity) totals(notes *load.Notes) (sum load.Totals) {
	bad := 0
	for i := range act.laps {
		l := &act.laps[i]
		if d, ok := xmlscan.Seconds(l.totalTimeSeconds); ok {
			sum.Timer += d
		} else if l.totalTimeSeconds.State != xmlscan.Absent {
			bad++
		}
		if v, ok := xmlscan.Amount(l.distanceMeters); ok {
			sum.Distance += load.Metres(v)
		} else if l.distanceMeters.State != xmlscan.Absent {
			bad++
		}
		if v, ok := xmlscan.Amount(l.steps); ok {
			sum.Steps += int(v)
		} else if l.steps.State != xmlscan.Absent {
			bad++
		}
	}
	if bad > 0 {
		notes.Add(load.NoteValue, "sums of laps that are below zero or no number were left out: %d", bad)
	}
	return sum
}

// start returns what the file declares as the start: of the first lap that says
// so, else the Id.
func (act *activity) start() (at load.Instant, ok bool) {
	for i := range act.laps {
		if t := act.laps[i].startTime; t.State == xmlscan.Given {
			return t.At, true
		}
	}
	return act.id.At, act.id.State == xmlscan.Given
}

// spans returns the laps in time. A lap lasts until its last point, and at least
// for as long as its timer ran. Without a start of its own it begins with its
// first point, else where the lap before ended.
func (act *activity) spans(start load.Instant) []load.Lap {
	var laps []load.Lap
	at := start
	for i := range act.laps {
		l := &act.laps[i]
		from := at
		switch {
		case l.startTime.State == xmlscan.Given:
			from = l.startTime.At
		case l.points > 0:
			from = l.first
		}
		timer, _ := xmlscan.Seconds(l.totalTimeSeconds)
		to := from.Add(timer)
		if l.points > 0 {
			to = max(to, l.last)
		}
		lap := load.Lap{Span: load.Span{From: from, To: to}, Timer: timer}
		if v, ok := xmlscan.Amount(l.distanceMeters); ok {
			lap.Distance = load.Metres(v)
		}
		laps = append(laps, lap)
		at = to
	}
	return laps
}
