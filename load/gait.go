package load

import (
	"math"
	"time"
)

// Walking and running inside one activity. Adults change from one to the other
// at about 140 steps/min and 2 m/s (PMC8629136).
const (
	walkCadence = 140    // steps/min of both feet below which it is walking
	walkSpeed   = 2.0    // m/s below which it is, where there is no cadence
	gaitHold    = 5000   // ms that the other gait must last to be believed; project default
	spellStop   = 60_000 // ms of standing that end a spell of running; project default
)

// setGait tells running from walking in the stretches that move, by cadence and,
// only where there is none, by speed. A change must last 5 s and counts from its
// beginning. Until the first sign of either, the gait is that of the sport.
func setGait(parts []stretch, sport Sport) {
	m := machine{on: sport != Walking, toOn: gaitHold, toOff: gaitHold}
	for k := range parts {
		s := &parts[k]
		if m.step(k, gaitVote(s), s.awake) {
			for i := m.since; i < k; i++ {
				parts[i].running = m.on
			}
		}
		s.running = m.on
	}
}

func gaitVote(s *stretch) vote {
	switch {
	case s.move() == 0:
		return neither
	case s.cadence >= walkCadence:
		return on
	case s.cadence > 0:
		return off
	case s.band == fast:
		return on
	case s.band != noPace:
		return off
	}
	return neither
}

// onFoot reports whether a sport has steps and a gait.
func onFoot(sport Sport) bool { return sport == Running || sport == Walking }

// setTimes adds up the moving time and its running and walking parts, and counts
// how often running began.
func (s *Session) setTimes(parts []stretch) {
	var moving, running, stood millis
	spells, on := 0, false
	for k := range parts {
		m := parts[k].move()
		moving += m
		switch {
		case m == 0:
			stood += parts[k].awake
			on = on && stood < spellStop
		case !parts[k].running:
			on, stood = false, 0
		default:
			running += m
			if !on {
				spells++
			}
			on, stood = true, 0
		}
	}
	s.Moving = moving.duration()
	if onFoot(s.Sport) {
		s.RunTime, s.WalkTime, s.RunSpells = running.duration(), (moving - running).duration(), spells
	}
}

// runShare returns which part of the distance was run: by lengths, or by time
// where nothing measured them.
func (v *survey) runShare() float64 {
	counted := v.counted()
	var run, all Metres
	var running, moving millis
	for k := range v.parts {
		p := &v.parts[k]
		length, time := p.covered(counted), p.move()
		all += length
		moving += time
		if p.running && time > 0 {
			run += length
			running += time
		}
	}
	switch {
	case all > 0:
		return float64(run) / float64(all)
	case moving > 0:
		return float64(running) / float64(moving)
	}
	return 0
}

// setRunMeasures records the running parts of who was on foot.
func (s *Session) setRunMeasures(share float64) {
	if !onFoot(s.Sport) {
		return
	}
	if _, timed := s.Measures.Get(Time); timed {
		s.Measures.Set(RunTime, Amount(s.RunTime/time.Millisecond))
	}
	if distance, ok := s.Measures.Get(Distance); ok {
		s.Measures.Set(RunDistance, Amount(math.Round(float64(distance)*share)))
	}
}
