package fit

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"time"

	"tidemark/load"
)

var (
	errNoRecording = errors.New("neither samples with a time nor sums, so nothing was recorded")
	errNoDate      = errors.New("the watch did not know the date: times count from when it was switched on; write this run into a diary")
	errNoTime      = errors.New("no usable time, so nothing says when this was")
	errNoContent   = errors.New("a session without samples and without sums")
)

// backfill reports whether the part only fills in heart rates for the part
// before it: no session, and nothing in the records but heart rates.
func (p *part) backfill() bool {
	if len(p.sessions) > 0 || p.heartRates == 0 && len(p.track.samples) == 0 {
		return false
	}
	for i := range p.track.samples {
		if p.track.samples[i].Has&^load.HasHeart != 0 {
			return false
		}
	}
	return true
}

// activities returns one activity a session, or one for all records if there is
// no session.
func (p *part) activities() ([]load.Activity, error) {
	if p.id.kind != fileActivity && p.id.kind != invalid8 && p.id.given {
		return nil, fmt.Errorf("%s, not a recording", fileKind(p.id.kind))
	}
	if p.track.untimed > 0 {
		p.notes.Add(load.NoteTime, "samples without a time were left out: %d", p.track.untimed)
	}
	if len(p.sessions) == 0 {
		return p.withoutSession()
	}
	return p.fromSessions()
}

// withoutSession makes an activity of records alone: an app that writes no
// sums, or a recording that was cut off before them. The sport is known if the
// file named one at its beginning, and just one.
func (p *part) withoutSession() ([]load.Activity, error) {
	if len(p.track.samples) == 0 {
		return nil, errNoRecording
	}
	s := session{
		timestamp: invalid32, startTime: invalid32, elapsedTime: invalid32, timerTime: invalid32,
		distance: invalid32, cycles: invalid32, ascent: invalid16, descent: invalid16,
		sport: invalid8, subSport: invalid8, workoutRPE: invalid8,
	}
	if kinds := slices.Compact(slices.Clone(p.sports)); len(kinds) == 1 {
		s.sport, s.subSport = kinds[0].sport, kinds[0].subSport
	}
	a, err := p.activityOf(s, p.track.samples, p.laps, span{from: minInstant, to: maxInstant})
	if err != nil {
		return nil, err
	}
	return []load.Activity{a}, nil
}

// fromSessions makes an activity of each session. One that cannot stand is left
// out; if none can, the first one's reason is the error.
func (p *part) fromSessions() (activities []load.Activity, err error) {
	slices.SortStableFunc(p.sessions, func(a, b session) int { return cmp.Compare(a.startTime, b.startTime) })
	spans := spansOf(p.sessions)
	samples := divide(p.track.samples, spans)
	laps := divideLaps(p.laps, spans)
	lost := 0
	for i, s := range p.sessions {
		a, reason := p.activityOf(s, samples[i], laps[i], spans[i])
		if reason != nil {
			lost++
			err = cmp.Or(err, reason)
			continue
		}
		activities = append(activities, a)
	}
	if len(activities) == 0 {
		return nil, err
	}
	if lost > 0 {
		activities[0].Notes.Add(load.NoteSkipped, "sessions that cannot be used were left out: %d; the first: %v", lost, err)
	}
	return activities, nil
}

// activityOf joins a session and what belongs to it.
func (p *part) activityOf(s session, samples []load.Sample, laps []lap, within span) (load.Activity, error) {
	start, err := startOf(s, samples)
	if err != nil {
		return load.Activity{}, err
	}
	kind := sport{s.sport, s.subSport}
	a := load.Activity{
		Surface: surfaceOf(kind),
		Device:  p.id.productName,
		Start:   start,
		Samples: samples,
		Pauses:  pausesOf(p.events, within),
		Laps:    lapsOf(laps),
		Notes:   slices.Clone(p.notes),
	}
	a.Sport, a.Detail = sportOf(kind)
	a.Cadence = cadenceOf(a.Sport)
	if p.barometer {
		a.Altitude = load.AltitudeBarometer
	}
	if p.track.graded && a.Surface != load.Treadmill {
		dropGrades(a.Samples)
	}
	a.Totals = totalsOf(s, a.Sport)
	if len(samples) == 0 && a.Totals == (load.Totals{}) {
		return load.Activity{}, errNoContent
	}
	a.Offset, a.HasOffset = p.activity.offset(&a.Notes)
	a.Exertion, a.HasExertion = exertionOf(s, &a.Notes)
	return a, nil
}

// dropGrades leaves the grades out that a watch worked out of its altitudes: only a
// belt's is known.
func dropGrades(samples []load.Sample) {
	for i := range samples {
		samples[i].Has &^= load.HasGrade
		samples[i].Grade = 0
	}
}

// dated reports whether a time counts from the epoch of FIT.
func dated(timestamp uint32) bool { return timestamp >= minDate && timestamp != invalid32 }

// startOf returns the session's own start, else the first record's, else the
// time that the session was written less its length. Times since power-on are
// no dates.
func startOf(s session, samples []load.Sample) (load.Instant, error) {
	if dated(s.startTime) {
		return instantOf(s.startTime), nil
	}
	for i := range samples {
		if samples[i].At >= instantOf(minDate) {
			return samples[i].At, nil
		}
	}
	switch {
	case dated(s.timestamp):
		return instantOf(s.timestamp).Add(-milliseconds(s.elapsedTime)), nil
	case len(samples) > 0 || s.startTime != invalid32 || s.timestamp != invalid32:
		return 0, errNoDate
	}
	return 0, errNoTime
}

// cadenceOf says what the cadence counts. Every running file seen holds that of
// one leg (74 to 83 a minute); walking is recorded alike.
func cadenceOf(s load.Sport) load.CadenceCount {
	if s == load.Running || s == load.Walking {
		return load.CadenceOneFoot
	}
	return load.CadenceUnsaid
}

// milliseconds returns a length of time, 0 if it is not given.
func milliseconds(v uint32) time.Duration {
	if v == invalid32 {
		return 0
	}
	return time.Duration(v) * time.Millisecond
}

// centimetres returns a distance, 0 if it is not given.
func centimetres(v uint32) load.Metres {
	if v == invalid32 {
		return 0
	}
	return load.Metres(float64(v) / 100)
}

// wholeMetres returns a height difference, 0 if it is not given.
func wholeMetres(v uint16) load.Metres {
	if v == invalid16 {
		return 0
	}
	return load.Metres(v)
}

// totalsOf returns the session's sums.
func totalsOf(s session, kind load.Sport) load.Totals {
	t := load.Totals{
		Elapsed:  milliseconds(s.elapsedTime),
		Timer:    milliseconds(s.timerTime),
		Distance: centimetres(s.distance),
		Ascent:   wholeMetres(s.ascent),
		Descent:  wholeMetres(s.descent),
	}
	if kind == load.Running || kind == load.Walking {
		t.Steps = stepsOf(s.cycles, t.Timer)
	}
	return t
}

// minStepRate and maxStepRate bound the mean steps a minute that are believed:
// from a walk with many stops to a sprint. Project defaults.
const (
	minStepRate = 30
	maxStepRate = 300
)

// stepsOf returns both feet's steps of a session's cycles, which are strides of
// one foot (profile, total_strides); 0 if they do not fit the time.
func stepsOf(cycles uint32, timer time.Duration) int {
	if cycles == invalid32 || timer <= 0 {
		return 0
	}
	steps := 2 * int(cycles)
	if rate := float64(steps) / timer.Minutes(); rate < minStepRate || rate > maxStepRate {
		return 0
	}
	return steps
}

// maxOffset and offsetStep tell zones from nonsense: civil zones lie within 14 h
// of UTC, in steps of 15 min (IANA time zone database).
const (
	maxOffset  = 15 * time.Hour
	offsetStep = 15 * time.Minute
)

// offset returns how far local time was ahead of UTC. Some files hold garbage.
func (a activity) offset(notes *load.Notes) (offset time.Duration, ok bool) {
	if a.timestamp == invalid32 || a.localTimestamp == invalid32 {
		return 0, false
	}
	offset = time.Duration(int64(a.localTimestamp)-int64(a.timestamp)) * time.Second
	if offset.Abs() > maxOffset || offset%offsetStep != 0 {
		notes.Add(load.NoteOffset, "the local time in the file, %.0f s from UTC, is no zone's: it was not used", offset.Seconds())
		return 0, false
	}
	return offset, true
}

// exertionOf returns the session RPE, which the file holds times ten (profile,
// workout_rpe: Borg CR10).
func exertionOf(s session, notes *load.Notes) (exertion float64, ok bool) {
	switch {
	case s.workoutRPE == invalid8:
		return 0, false
	case s.workoutRPE > 100:
		notes.Add(load.NoteValue, "an effort of %.1f is over 10 and was left out", float64(s.workoutRPE)/10)
		return 0, false
	}
	return float64(s.workoutRPE) / 10, true
}
