package load

// Walking and running inside one activity. Adults change from one to the other
// at about 140 steps/min and 2 m/s (PMC8629136).
const (
	walkCadence = 140  // steps/min of both feet below which it is walking
	walkSpeed   = 2.0  // m/s below which it is, where there is no cadence
	gaitHold    = 5000 // ms that the other gait must last to be believed; project default
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

// setTimes adds up the moving time and its running and walking parts.
func (s *Session) setTimes(parts []stretch) {
	var moving, running millis
	for k := range parts {
		m := parts[k].move()
		moving += m
		if parts[k].running {
			running += m
		}
	}
	s.Moving = moving.duration()
	if onFoot(s.Sport) {
		s.RunTime, s.WalkTime = running.duration(), (moving - running).duration()
	}
}
