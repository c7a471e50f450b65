package load

import "slices"

// The pause machine (project defaults, as far as known no standard for running).
const (
	stillSpeed = 0.5  // m/s: a median speed below it asks for a pause,
	stillHold  = 5000 // ms: for that long
	goSpeed    = 1.0  // m/s: a median speed above it asks for an end,
	goHold     = 3000 // ms: for that long
	paceWindow = 5000 // ms of the median
)

// Gaps without samples; project defaults.
const (
	gapLow   = 0.5    // times the usual moving speed that a gap must have at least
	gapHigh  = 1.5    // and at most, to be movement
	blindGap = 60_000 // ms without samples that are a pause where nothing measures speed
)

// band is a range of speed, wide enough for the machines to vote by.
type band uint8

const (
	noPace band = iota // nobody knows
	still              // below 0.5 m/s
	slow               // up to 1.0 m/s
	walk               // below 2.0 m/s
	fast
	bands
)

func bandOf(v Speed) band {
	switch {
	case v < 0:
		return noPace
	case v < stillSpeed:
		return still
	case v <= goSpeed:
		return slow
	case v < walkSpeed:
		return walk
	}
	return fast
}

// setPaces gives each stretch the band of the median speed of those stretches
// whose middles lie within 2.5 s of its own; of an even number the faster of the
// two in the middle.
func setPaces(samples []Sample, parts []stretch) {
	var counts [bands]int
	twiceMiddle := func(k int) Instant { return samples[k].At + samples[k+1].At }
	first, next := 0, 0
	for k := range parts {
		at := twiceMiddle(k)
		for ; next < len(parts) && twiceMiddle(next)-at <= paceWindow; next++ {
			counts[bandOf(parts[next].speed)]++
		}
		for ; at-twiceMiddle(first) > paceWindow; first++ {
			counts[bandOf(parts[first].speed)]--
		}
		parts[k].pace = middleBand(&counts, next-first-counts[noPace])
	}
}

// middleBand returns the band that the median of known values falls in.
func middleBand(counts *[bands]int, known int) band {
	if known == 0 {
		return noPace
	}
	seen := 0
	for b := still; b < fast; b++ {
		if seen += counts[b]; 2*seen > known {
			return b
		}
	}
	return fast
}

// vote is what a stretch asks of a machine with two states.
type vote int8

const (
	off     vote = -1
	neither vote = 0
	on      vote = 1
)

// machine is a state that turns once the other one has been asked for without
// a break for a time. It turns in hindsight, from the first that asked.
type machine struct {
	on          bool
	toOn, toOff millis // how long the other state must be asked for
	asking      millis // how long it has been
	since       int    // the first stretch that asked
}

// step takes the vote of stretch k, which lasts so long, and reports whether the
// state is now another, from stretch since on.
func (m *machine) step(k int, v vote, lasts millis) (turned bool) {
	wanted, hold := on, m.toOn
	if m.on {
		wanted, hold = off, m.toOff
	}
	if v != wanted {
		m.asking = 0
		return false
	}
	if m.asking == 0 {
		m.since = k
	}
	if m.asking += lasts; m.asking < hold {
		return false
	}
	m.on, m.asking = !m.on, 0
	return true
}

// stopsShow reports whether standing still shows in the speed of a sport; who
// swims or rows is as slow as that without a pause.
func stopsShow(sport Sport) bool { return sport != Swimming && sport != OtherSport }

// setMoving tells movement from pauses. Where a device paused at all, or the
// sport is slow, the device's pauses are the only ones and find is false. Else a
// median speed below 0.5 m/s for 5 s begins a pause and one above 1.0 m/s for 3 s
// ends it, both in hindsight. A gap of more than 10 s is a pause unless its
// distance, at 0.5 to 1.5 times the usual moving speed, proves movement.
func setMoving(parts []stretch, find bool) {
	m := machine{on: true, toOn: goHold, toOff: stillHold}
	var usual float64
	if hasGap(parts) {
		usual, _ = movingSpeed(parts)
	}
	for k := range parts {
		s := &parts[k]
		if s.awake > longGap {
			s.moving, m.asking = gapMoves(s, usual), 0
			continue
		}
		if find && m.step(k, movingVote(s), s.awake) {
			for i := m.since; i < k; i++ {
				parts[i].moving = m.on
			}
		}
		s.moving = m.on
	}
}

// movingVote goes by speed. No steps at all is standing too, unless the speed
// says otherwise: many a sensor writes zero when it is lost.
func movingVote(s *stretch) vote {
	switch {
	case s.pace == still, s.pace <= slow && s.cadence == 0:
		return off
	case s.pace >= walk, s.pace == noPace && s.cadence > 0:
		return on
	}
	return neither
}

func hasGap(parts []stretch) bool {
	return slices.ContainsFunc(parts, func(s stretch) bool { return s.awake > longGap })
}

// gapMoves judges a stretch without samples by the usual moving speed in m/s,
// zero where the activity knows none.
func gapMoves(s *stretch, usual float64) bool {
	if usual == 0 {
		return s.speed < 0 && s.awake <= blindGap
	}
	v := float64(s.speed)
	return v >= gapLow*usual && v <= gapHigh*usual
}

// stops returns all stretches of time without movement, the device's pauses and
// those found.
func stops(a *Activity, parts []stretch) []Span {
	spans := slices.Clone(a.Pauses)
	for k := range parts {
		if parts[k].moving {
			continue
		}
		from, to := a.Samples[k].At, a.Samples[k+1].At
		if n := len(spans); n > 0 && spans[n-1].To == from {
			spans[n-1].To = to
		} else {
			spans = append(spans, Span{from, to})
		}
	}
	return merged(spans)
}

// noteGaps tells of stretches without samples that were taken as pauses.
func (s *Session) noteGaps(parts []stretch) {
	gaps, time := 0, millis(0)
	for k := range parts {
		if p := &parts[k]; p.awake > longGap && !p.moving {
			gaps++
			time += p.awake
		}
	}
	if gaps > 0 {
		s.Notes.Add(NoteGap, "%d without samples, %v in all, taken as pauses", gaps, time.duration())
	}
}
