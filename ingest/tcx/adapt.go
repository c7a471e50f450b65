package tcx

import (
	"errors"
	"time"

	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// Why a file holds no recording. Each comes wrapped in a *load.DecodeError.
var (
	ErrCourse  = errors.New("a course, not a recording")
	ErrWorkout = errors.New("a planned workout, not a recording")
	ErrEmpty   = errors.New("no activity with points or sums, nothing was recorded")
	ErrNoTimes = errors.New("no times, so nothing says when this was")
)

// latestStart is how long after its declared start an activity may have its
// first point before the start is not believed, a project default.
const latestStart = 24 * time.Hour

// result collects the activities that are recordings.
type result struct {
	activities []load.Activity
	kept       int // samples of all activities
	laps       int // laps of all activities
	undated    int // activities that nothing places in time
	empty      int // activities with neither points nor sums
	over       int // activities beyond the limit
}

func (d *decoder) openActivity(sport []byte) {
	d.activity = activity{sport: append([]byte(nil), sport...)}
	d.track = &xmlscan.Track{Max: d.limits.Points - d.kept}
}

func (d *decoder) openLap(start []byte) {
	d.lap = activityLap{startTime: xmlscan.ParseTime(start)}
	d.inLap = true
	d.track.Resume()
}

// openTrack begins a Track: the second and later ones of a lap begin after a
// pause. Between laps there is none, however far apart they are: smart
// recording leaves such gaps while the runner runs on.
func (d *decoder) openTrack() {
	if d.lap.points > 0 {
		d.track.Pause()
	}
}

// point hands the finished Trackpoint on. RunCadence goes before Cadence, which
// is the bike's or an old foot pod's.
func (d *decoder) point() {
	p := xmlscan.Point{
		Time: d.pt.time, Lat: d.pt.latitude, Lon: d.pt.longitude, Altitude: d.pt.altitudeMeters,
		Distance: d.pt.distanceMeters, Speed: d.pt.speed, Cadence: d.pt.runCadence, Heart: d.pt.heartRateBpm,
	}
	if p.Cadence.State != xmlscan.Given && d.pt.cadence.State != xmlscan.Absent {
		p.Cadence = d.pt.cadence
	}
	if !d.track.Add(&p) {
		return
	}
	d.kept++
	if d.lap.points == 0 {
		d.lap.first = p.Time.At
	}
	d.lap.points++
	d.lap.last = p.Time.At
}

func (d *decoder) closeLap() {
	if !d.inLap {
		return
	}
	d.inLap = false
	if d.laps == d.limits.Laps {
		d.activity.over++
		return
	}
	d.laps++
	d.activity.laps = append(d.activity.laps, d.lap)
}

// closeActivity keeps the open activity if it has points with times, or sums
// and a start.
func (d *decoder) closeActivity() {
	if d.track == nil {
		return
	}
	t, act := d.track, &d.activity
	d.track = nil
	a := load.Activity{Cadence: load.CadenceUnsaid}
	a.Totals = act.totals(&a.Notes)
	start, dated := act.start()
	bare := len(t.Samples) == 0
	switch {
	case bare && a.Totals == (load.Totals{}) && t.Points() == 0:
		d.empty++
	case bare && (!dated || a.Totals == (load.Totals{})):
		d.undated++
	case len(d.activities) == d.limits.Activities:
		d.over++
	default:
		a.Start = start
		act.adapt(&a, t, dated)
		d.activities = append(d.activities, a)
	}
}

// adapt fills a from the activity and its track; a has its totals and, if dated,
// its declared start.
func (act *activity) adapt(a *load.Activity, t *xmlscan.Track, dated bool) {
	a.Device = xmlscan.Name(act.creator, &a.Notes)
	a.Sport, a.Detail = sport(xmlscan.Name(act.sport, &a.Notes))
	if a.Sport == load.Running {
		a.Cadence = load.CadenceOneFoot
	}
	t.Fill(a)
	act.zone(a)
	act.settleStart(a, dated)
	act.surface(a)
	a.Laps = act.spans(a.Start)
	if act.over > 0 {
		a.Notes.Add(load.NoteSkipped, "the file has more laps than any recording: %d were left out", act.over)
	}
	if len(a.Samples) == 0 {
		a.Notes.Add(load.NoteTotals, "no point has a usable time: the sums of the laps were taken")
	}
}

// zone takes the offset of an activity without points from its declared start.
func (act *activity) zone(a *load.Activity) {
	if len(a.Samples) > 0 {
		return
	}
	for i := range act.laps {
		if a.Offset, a.HasOffset = act.laps[i].startTime.Zone(); a.HasOffset {
			return
		}
	}
	a.Offset, a.HasOffset = act.id.Zone()
}

// settleStart moves the start to the first point where none is declared, where
// the point is earlier, and where the two are too far apart to be one activity.
func (act *activity) settleStart(a *load.Activity, dated bool) {
	if len(a.Samples) == 0 {
		return
	}
	first := a.Samples[0].At
	switch {
	case !dated:
		a.Notes.Add(load.NoteTime, "the file gives no start: the first point's time was taken")
	case first.Sub(a.Start) > latestStart:
		a.Notes.Add(load.NoteTime, "the file's start lies more than a day before its first point, whose time was taken")
	case first >= a.Start:
		return
	}
	a.Start = first
}

// surface takes a run that measured distance but never a position for one on a
// treadmill.
func (act *activity) surface(a *load.Activity) {
	distance := false
	for i := range a.Samples {
		if a.Samples[i].Got(load.HasPosition) {
			return
		}
		distance = distance || a.Samples[i].Got(load.HasDistance)
	}
	if a.Sport == load.Running && distance {
		a.Surface = load.Treadmill
		a.Notes.Add(load.NoteTreadmill, "no positions, so it is taken for a treadmill: the watch only estimates the distance, which counts in sums until you say what the belt showed")
	}
}

// sport judges the attribute Sport. The schema knows three words.
func sport(word string) (s load.Sport, detail string) {
	switch word {
	case "Running":
		return load.Running, ""
	case "Biking":
		return load.Cycling, ""
	case "Other":
		return load.OtherSport, ""
	}
	return load.UnknownSport, word
}

// finish notes on the first activity what was left out beside the activities.
func (d *decoder) finish() []load.Activity {
	if len(d.activities) == 0 {
		return nil
	}
	n := &d.activities[0].Notes
	for _, r := range []struct {
		count int
		text  string
	}{
		{d.file.courses, "planned courses beside the activity were left out: %d"},
		{d.file.workouts, "planned workouts beside the activity were left out: %d"},
		{d.file.transitions, "transitions between sports were left out: %d"},
		{d.undated, "activities without times were left out: %d"},
		{d.empty, "activities without points or sums were left out: %d"},
		{d.over, "activities beyond the limit were left out: %d"},
	} {
		if r.count > 0 {
			n.Add(load.NoteSkipped, r.text, r.count)
		}
	}
	return d.activities
}

// refusal returns where and why a file without an activity is no recording.
func (d *decoder) refusal() (offset int64, reason error) {
	switch {
	case d.undated > 0:
		return d.file.activityAt, ErrNoTimes
	case d.empty == 0 && d.file.courses > 0:
		return d.file.plannedAt, ErrCourse
	case d.empty == 0 && d.file.workouts > 0:
		return d.file.plannedAt, ErrWorkout
	}
	return d.file.activityAt, ErrEmpty
}
