package load

import "slices"

// The pause machine (project defaults, as far as known no standard for running).
const (
	stillSpeed = 0.5  // m/s: a median speed below it asks for a pause,
	stillHold  = 5000 // ms: for that long
	goSpeed    = 1.0  // m/s: a median speed above it asks for an end,
	goHold     = 3000 // ms: for that long
)

// Gaps without samples; project defaults.
const (
	gapLow   = 0.5    // times the usual moving speed that a gap must have at least
	gapHigh  = 1.5    // and at most, to be movement
	shortGap = 60_000 // ms of a gap within which a walk is movement too, or no speed at all
)

// stopsShow reports whether standing still shows in the speed of a sport; who
// swims or rows is as slow as that without a pause.
func stopsShow(sport Sport) bool { return sport != Swimming && sport != OtherSport }

// setMoving tells movement from pauses. Where a device paused at all, or the
// sport is slow, the device's pauses are the only ones and find is false. Else a
// median speed below 0.5 m/s for 5 s begins a pause and one above 1.0 m/s for 3 s
// ends it, both in hindsight. A gap of more than 10 s is a pause unless its
// distance, at 0.5 to 1.5 times the usual moving speed, proves movement; up to a
// minute 1.0 m/s does.
func setMoving(parts []stretch, find bool) {
	m := machine{on: true, toOn: goHold, toOff: stillHold}
	var usual float64
	if hasGap(parts) {
		usual, _ = paceOf(parts, (*stretch).ownSpeed)
	}
	for k := range parts {
		s := &parts[k]
		if s.carried {
			m.asking = 0
			continue
		}
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
	case s.band == still, s.band <= slow && s.cadence == 0:
		return off
	case s.band >= walk, s.band == noPace && s.cadence > 0:
		return on
	}
	return neither
}

func hasGap(parts []stretch) bool {
	for k := range parts {
		if parts[k].awake > longGap {
			return true
		}
	}
	return false
}

// gapMoves judges a stretch without samples by the usual moving speed in m/s,
// zero where the activity knows none. Watches that save space leave such gaps in
// every walk between two runs, so up to a minute a walk proves movement as well.
func gapMoves(s *stretch, usual float64) bool {
	if usual == 0 {
		return s.speed < 0 && s.awake <= shortGap
	}
	least := gapLow * usual
	if s.awake <= shortGap {
		least = min(least, goSpeed)
	}
	v := float64(s.speed)
	return v >= least && v <= gapHigh*usual
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
		s.Notes.Add(NoteGap, "%s without samples, %s in all, were taken as pauses", counted(gaps, "stretch", "stretches"), Lasting(time.duration()))
	}
}
