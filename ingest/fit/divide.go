package fit

import (
	"math"
	"slices"

	"tidemark/load"
)

// span is from one instant up to but not including another.
type span struct{ from, to load.Instant }

const (
	minInstant = load.Instant(math.MinInt64)
	maxInstant = load.Instant(math.MaxInt64)
)

// spansOf returns whose time it is: each session, in order of start, has the
// time from its start to the next one's, and the first all before. The
// sessions' own ends are not asked, nor the first one's start: files that write
// the sessions first give all of them the end of the first, and one real file
// starts its first session 45 min late.
func spansOf(sessions []session) []span {
	spans := make([]span, len(sessions))
	for i := range sessions {
		spans[i] = span{minInstant, maxInstant}
		if i > 0 {
			start := instantOf(sessions[i].startTime)
			spans[i-1].to, spans[i].from = start, start
		}
	}
	return spans
}

func (s span) has(at load.Instant) bool { return s.from <= at && at < s.to }

// owner returns the index of the span that has at: the last that has begun.
func owner(spans []span, at load.Instant) int {
	begun, _ := slices.BinarySearchFunc(spans, at, func(s span, at load.Instant) int {
		if s.from <= at {
			return -1
		}
		return 1
	})
	return begun - 1
}

// divide gives each span its samples, in file order, with distances that begin
// anew in each.
func divide(samples []load.Sample, spans []span) [][]load.Sample {
	shares := make([][]load.Sample, len(spans))
	if len(spans) == 1 {
		shares[0] = samples
		return shares
	}
	var before load.Metres
	for len(samples) > 0 {
		k := owner(spans, samples[0].At)
		n := 1
		for n < len(samples) && spans[k].has(samples[n].At) {
			n++
		}
		row := samples[:n:n]
		samples = samples[n:]
		before = rebase(row, before)
		if shares[k] == nil {
			shares[k] = row
		} else {
			shares[k] = append(shares[k], row...)
		}
	}
	return shares
}

// rebase takes the distance before a session off those in it, unless the device
// itself began at zero again. It returns the last distance as the device had it.
func rebase(row []load.Sample, before load.Metres) (last load.Metres) {
	last, least := before, load.Metres(math.MaxFloat64)
	for i := range row {
		if row[i].Got(load.HasDistance) {
			last = row[i].Distance
			least = min(least, last)
		}
	}
	if before == 0 || least < before {
		return last
	}
	for i := range row {
		if row[i].Got(load.HasDistance) {
			row[i].Distance -= before
		}
	}
	return last
}

// divideLaps gives each span the laps that start in it.
func divideLaps(laps []lap, spans []span) [][]lap {
	shares := make([][]lap, len(spans))
	for _, l := range laps {
		k := owner(spans, instantOf(l.startTime))
		shares[k] = append(shares[k], l)
	}
	return shares
}

// lapsOf returns the laps that have a time. A lap ends its length after its
// start; when it was written is asked only if no length is given.
func lapsOf(laps []lap) []load.Lap {
	var list []load.Lap
	for _, l := range laps {
		if !dated(l.startTime) {
			continue
		}
		from := instantOf(l.startTime)
		to := from.Add(milliseconds(l.elapsedTime))
		if l.elapsedTime == invalid32 && dated(l.timestamp) {
			to = max(from, instantOf(l.timestamp))
		}
		list = append(list, load.Lap{
			Span:     load.Span{From: from, To: to},
			Timer:    milliseconds(l.timerTime),
			Distance: centimetres(l.distance),
		})
	}
	return list
}

// pausesOf returns the time between a stop of the timer and the next start. A
// stop without a start after it ends the recording and is no pause; of two stops
// the first counts. Samples taken meanwhile stay where they are.
func pausesOf(events []event, within span) []load.Span {
	var pauses []load.Span
	var stopped load.Instant
	standing := false
	for _, e := range events {
		if e.timestamp == invalid32 {
			continue
		}
		at := instantOf(e.timestamp)
		switch e.eventType {
		case eventStop, eventStopAll, eventStopDisable, eventStopDisableAll:
			if !standing {
				stopped, standing = at, true
			}
		case eventStart:
			from, to := max(stopped, within.from), min(at, within.to)
			if standing && from < to {
				pauses = append(pauses, load.Span{From: from, To: to})
			}
			standing = false
		}
	}
	return pauses
}
