package load

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
)

// The median moving speed in m/s of a recording without a sport that is taken
// as running; project default.
const (
	runSpeedLow  = 1.8
	runSpeedHigh = 6.5
)

// Reduce turns an activity into the session it asks of the runner. id is its
// name in the journal, zone the decision of where it started.
//
// The samples must rise strictly in time from the start on, and every value,
// those of the totals too, must be finite and within the range of its type; the
// sieve of package ingest sees to that. What is dropped, filled or chosen here is
// added to the activity's notes in the session; the activity itself is not
// changed.
func Reduce(id string, a *Activity, zone Zone) Session {
	s := Session{
		ID: id, Day: DayOf(a.Start.In(zone.Offset)), Start: a.Start, End: a.End(), Zone: zone,
		Sport: a.Sport, Detail: a.Detail, Surface: a.Surface, Device: a.Device,
		Points: len(a.Samples), Laps: len(a.Laps), Notes: slices.Clone(a.Notes),
	}
	s.HasPositions = slices.ContainsFunc(a.Samples, func(p Sample) bool { return p.Has&HasPosition != 0 })
	s.setElapsed(a)
	if a.Typed != nil {
		s.Day, s.NoStart, s.Race, s.Typed = a.Typed.Day, !a.Typed.HasStart, a.Typed.Race, true
		s.Note = a.Typed.Note
	}
	if s.Surface == Treadmill && !s.Notes.Has(NoteTreadmill) {
		s.Notes.Add(NoteTreadmill, "on a treadmill the watch only estimates the distance: it counts in sums until you say what the belt showed")
	}
	s.setHeart(a.Samples)
	h := heightsOf(a)
	s.setAscent(a, &h)
	if len(a.Samples) < 2 {
		s.fromTotals(a)
	} else {
		s.fromSamples(a, &h)
	}
	return s
}

// setElapsed takes the time from start to end, and the device's timer where it
// gives one; else the elapsed time less its pauses.
func (s *Session) setElapsed(a *Activity) {
	s.Elapsed = s.End.Sub(s.Start)
	s.Timer = s.Elapsed
	for _, pause := range merged(a.Pauses) {
		s.Timer -= overlap(pause, Span{s.Start, s.End}).duration()
	}
	if a.Totals.Timer > 0 {
		s.Timer = min(a.Totals.Timer, s.Elapsed)
	}
}

// fromSamples reduces a recording.
func (s *Session) fromSamples(a *Activity, h *heights) {
	v := surveyOf(a, s.Sport)
	if s.Sport == UnknownSport && !s.Typed {
		if s.judgeSport(v.parts); s.Sport == Running {
			v = surveyOf(a, Running)
		}
	}
	cut := cutShort(a, v.parts)
	doubled, carried := v.settle(a, s.Sport)
	s.setDistance(a, v, cut)
	s.setTimes(v.parts)
	if cut && s.DistanceSource == DistanceFromSession {
		s.addTail(a, v.parts)
	}
	if onFoot(s.Sport) {
		s.setSteps(a, v.parts)
		if doubled {
			s.Notes.Add(NoteCadence, "the cadence is that of one foot, as its numbers show, and was doubled")
		}
	}
	s.noteCarried(carried)
	s.noteJumps(v.track)
	s.noteGaps(v.parts)
	s.setMeasures(true)
	s.setRunMeasures(v.runShare())
	s.setWay(a, &v, h)
	s.setHeartCovered(a.Samples, v.parts)
	s.setExertion(a, s.effort(stops(a, v.parts)))
}

// survey is an activity laid out in stretches with their lengths and speeds.
type survey struct {
	parts []stretch
	count count
	track track
}

// surveyOf measures an activity within the limits of a sport. Positions on a
// treadmill measure nothing.
func surveyOf(a *Activity, sport Sport) survey {
	top := limitsOf(sport)
	v := survey{parts: stretches(a.Samples, merged(a.Pauses))}
	v.count = countOf(a.Samples, v.parts, a.Start, top.count)
	if a.Surface != Treadmill {
		v.track = trackOf(a.Samples, v.parts, top.track, nil)
	}
	v.setSpeeds(a.Samples)
	return v
}

// settle tells movement from pauses and running from walking, and leaves out what
// was neither. doubled is what setCadences found.
func (v *survey) settle(a *Activity, sport Sport) (doubled bool, carried carriage) {
	doubled = setCadences(a.Samples, v.parts, a.Cadence)
	if onFoot(sport) {
		carried = v.leaveOutCarried()
	}
	setBands(a.Samples, v.parts)
	setMoving(v.parts, len(a.Pauses) == 0 && stopsShow(sport))
	setGait(v.parts, sport)
	return doubled, carried
}

// judgeSport takes a recording without a sport as running if its median moving
// speed is a runner's.
func (s *Session) judgeSport(parts []stretch) {
	v, ok := paceOf(parts, (*stretch).ownSpeed)
	switch {
	case !ok:
		s.Notes.Add(NoteSport, "no sport in the file and no speed to judge it by")
	case v < runSpeedLow || v > runSpeedHigh:
		s.Notes.Add(NoteSport, "no sport in the file; a median speed of %.2f m/s does not look like running", v)
	default:
		s.Sport = Running
		s.Notes.Add(NoteSport, "no sport in the file; taken as running for its median speed of %.2f m/s", v)
	}
}

// cutShort reports whether samples are missing for a part of the recording: the
// reader saw the file end early, or the device's timer ran for longer than the
// samples by more than a tenth (project default).
func cutShort(a *Activity, parts []stretch) bool {
	return a.Notes.Has(NoteTruncated) ||
		awake(parts).duration().Seconds() < brokenShare*a.Totals.Timer.Seconds()
}

// addTail adds the time that the device's timer ran beyond the samples, where the
// session's distance is that of the whole.
func (s *Session) addTail(a *Activity, parts []stretch) {
	tail := max(0, a.Totals.Timer-awake(parts).duration())
	s.Moving += tail
	if tail == 0 || !onFoot(s.Sport) {
		return
	}
	if s.RunTime >= s.WalkTime {
		s.RunTime += tail
	} else {
		s.WalkTime += tail
	}
	s.Notes.Add(NoteSteps, "%s of movement have no samples: no steps are counted there", Lasting(tail))
}

// noteJumps tells what of the track was not believed.
func (s *Session) noteJumps(t track) {
	var parts []string
	for _, p := range []struct {
		n    int
		what string
	}{
		{t.dropped, "positions too far from the one before to run to, left out"},
		{t.jumps, "leaps to another place where the track went on, not counted as distance"},
		{t.open, "gaps in the track whose straight line is too long or too short for the time, not counted as distance"},
	} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%s: %d", p.what, p.n))
		}
	}
	if len(parts) > 0 {
		s.Notes.Add(NoteJump, "%s", strings.Join(parts, "; "))
	}
}

// setMeasures records what the session has of distance, moving time and steps.
func (s *Session) setMeasures(timed bool) {
	if s.DistanceSource != "" {
		s.Measures.Set(Distance, Amount(math.Round(float64(s.Distance)*1000)))
	}
	if timed {
		s.Measures.Set(Time, Amount(s.Moving/time.Millisecond))
	}
	if s.StepsSource != "" {
		s.Measures.Set(Steps, Amount(s.Steps))
	}
}
