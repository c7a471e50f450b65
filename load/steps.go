package load

import "math"

// Cadence and steps.
const (
	oneFootLow, oneFootHigh = 60, 110 // steps/min: a median in here, at more than
	oneFootSpeed            = 2.0     // m/s, counts one foot; project default
	cadenceAge              = 10_000  // ms that a cadence holds where samples lack it; project default
	stepsCap                = 60_000  // ms of a stretch that its cadence is believed for; project default
)

// Cadence from speed, where a watch gives none: 164 + 10 (v - 3) steps/min within
// 140 to 200, project default after van Oeveren et al. 2017 (PLoS ONE 12:e0184273)
// and good to about 10 steps/min in one person.
const (
	cadenceAt3      = 164.0
	cadenceSlope    = 10.0 // steps/min per m/s
	cadenceFloor    = 140.0
	cadenceRoof     = 200.0
	cadenceRefSpeed = 3.0 // m/s
)

// cadenceFromSpeed returns the cadence of a runner at v m/s.
func cadenceFromSpeed(v float64) float64 {
	return min(cadenceRoof, max(cadenceFloor, float64(cadenceSlope*(v-cadenceRefSpeed))+cadenceAt3))
}

// setCadences gives each stretch the cadence of the sample at its end, of both
// feet; where that has none, of the last that had within 10 s. doubled says that
// a file which does not tell was found to count one foot.
func setCadences(samples []Sample, parts []stretch, feet CadenceCount) (doubled bool) {
	last := -1
	for i := range samples {
		if samples[i].Has&HasCadence != 0 {
			last = i
		}
		if i > 0 && last >= 0 && samples[i].At-samples[last].At <= cadenceAge {
			parts[i-1].cadence = samples[last].Cadence
		}
	}
	doubled = feet == CadenceUnsaid && last >= 0 && countsOneFoot(parts)
	if feet == CadenceOneFoot || doubled {
		for k := range parts {
			if parts[k].cadence > 0 {
				parts[k].cadence *= 2
			}
		}
	}
	return doubled
}

// countsOneFoot looks at the cadence at running speed, or at all of it where
// nothing measures speed.
func countsOneFoot(parts []stretch) bool {
	var atSpeed, all []float64
	measured := false
	for k := range parts {
		s := &parts[k]
		measured = measured || s.speed >= 0
		if s.cadence <= 0 {
			continue
		}
		all = append(all, float64(s.cadence))
		if s.speed > oneFootSpeed {
			atSpeed = append(atSpeed, float64(s.cadence))
		}
	}
	if !measured {
		atSpeed = all
	}
	m, ok := median(atSpeed)
	return ok && m >= oneFootLow && m <= oneFootHigh
}

// setSteps sums cadence over moving time, at most a minute of each stretch. What
// is run without a cadence is estimated from speed; what is walked without one
// is not counted.
func (s *Session) setSteps(a *Activity, parts []stretch) {
	var counted, guessed float64 // steps/min times ms
	var withCadence, onSpeed, blind millis
	for k := range parts {
		p := &parts[k]
		time := min(p.move(), stepsCap)
		switch {
		case p.cadence > 0:
			counted += float64(float64(p.cadence) * float64(time))
			withCadence += time
		case p.running && p.speed >= 0:
			guessed += float64(cadenceFromSpeed(float64(p.speed)) * float64(time))
			onSpeed += time
		default:
			blind += time
		}
	}
	if withCadence > 0 {
		s.CadenceMean = Cadence(counted / float64(withCadence))
	}
	switch {
	case withCadence == 0 && a.Totals.Steps > 0:
		s.Steps, s.StepsSource = a.Totals.Steps, StepsFromCadence
	case withCadence+onSpeed > 0:
		s.Steps, s.StepsSource = int(math.Round((counted+guessed)/60e3)), StepsFromCadence
		s.noteSteps(withCadence, onSpeed, blind)
	}
}

// noteSteps says how much of the moving time had a cadence.
func (s *Session) noteSteps(withCadence, onSpeed, blind millis) {
	if onSpeed > withCadence {
		s.StepsSource = StepsFromSpeed
	}
	if onSpeed > 0 {
		s.Notes.Add(NoteSteps, "%s of running have no cadence: the steps in it are estimated from speed", Lasting(onSpeed.duration()))
	}
	if blind > 0 {
		s.Notes.Add(NoteSteps, "%s of other movement have no cadence: no steps are counted there", Lasting(blind.duration()))
	}
}

// estimateSteps fills in for a run known by its sums alone.
func (s *Session) estimateSteps() {
	seconds := s.RunTime.Seconds()
	if s.Sport != Running || seconds == 0 || s.Moving == 0 || s.Distance == 0 {
		return
	}
	v := float64(s.Distance) / s.Moving.Seconds()
	s.Steps, s.StepsSource = int(math.Round(cadenceFromSpeed(v)*seconds/60)), StepsFromSpeed
	s.Notes.Add(NoteSteps, "the steps of %s of running are estimated from the mean speed, %.2f m/s", Lasting(s.RunTime), v)
}
