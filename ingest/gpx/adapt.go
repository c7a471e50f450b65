package gpx

import (
	"bytes"
	"errors"

	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// Why a file holds no recording. Each comes wrapped in a *load.DecodeError.
var (
	ErrRoute     = errors.New("a planned route, not a recording")
	ErrWaypoints = errors.New("waypoints only, not a recording")
	ErrNoPoints  = errors.New("no points in the track, nothing was recorded")
	ErrNoTimes   = errors.New("no times, so nothing says when or how fast this was run")
)

// result collects the tracks that are recordings.
type result struct {
	activities []load.Activity
	points     int // given, timed or not
	kept       int // samples
	untimed    int // tracks without a usable time
	empty      int // tracks without points
	over       int // tracks beyond the limit
}

func (d *decoder) openTrack() {
	d.trk = trk{}
	d.track = &xmlscan.Track{Max: d.limits.Points - d.kept}
}

// point hands the finished trkpt on. A trkpt must have coordinates, so missing
// ones count as bad, not as absent. The speed of GPX 1.0 goes before that of an
// extension.
func (d *decoder) point() {
	p := xmlscan.Point{
		Time: d.pt.time, Lat: d.pt.lat, Lon: d.pt.lon, Altitude: d.pt.ele,
		Distance: d.pt.extensions.distance, Speed: d.pt.speed,
		Cadence: d.pt.extensions.cad, Heart: d.pt.extensions.hr,
	}
	if p.Lat.State == xmlscan.Absent {
		p.Lat.State = xmlscan.Malformed
	}
	if p.Speed.State == xmlscan.Absent {
		p.Speed = d.pt.extensions.speed
	}
	if d.track.Add(&p) {
		d.kept++
	}
}

// closeTrack makes an activity of the open track, if it has a time.
func (d *decoder) closeTrack() {
	t := d.track
	if t == nil {
		return
	}
	d.track = nil
	d.points += t.Points()
	switch {
	case len(t.Samples) == 0 && t.Points() == 0:
		d.empty++
	case len(t.Samples) == 0:
		d.untimed++
	case len(d.activities) == d.limits.Activities:
		d.over++
	default:
		d.activities = append(d.activities, d.adapt(t))
	}
}

// adapt makes the activity of a track with samples. What the cadence of a GPX
// counts is not said anywhere.
func (d *decoder) adapt(t *xmlscan.Track) load.Activity {
	a := load.Activity{Start: t.Samples[0].At, Cadence: load.CadenceUnsaid}
	a.Name = xmlscan.Name(d.trk.name, &a.Notes)
	word := d.trk.typ
	if len(bytes.TrimSpace(word)) == 0 {
		word = d.trk.activity
	}
	a.Sport, a.Detail, a.Surface = sport(xmlscan.Name(word, &a.Notes))
	t.Fill(&a)
	return a
}

// finish notes on the first activity what was left out beside the tracks.
func (d *decoder) finish() []load.Activity {
	if len(d.activities) == 0 {
		return nil
	}
	n := &d.activities[0].Notes
	for _, r := range []struct {
		count int
		text  string
	}{
		{d.file.wpt, "waypoints beside the track were left out: %d"},
		{d.file.rte, "planned routes beside the track were left out: %d"},
		{d.untimed, "tracks without times were left out: %d"},
		{d.empty, "tracks without points were left out: %d"},
		{d.over, "tracks beyond the limit were left out: %d"},
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
	case d.points > 0:
		return d.file.trkAt, ErrNoTimes
	case d.file.rte > 0:
		return d.file.plannedAt, ErrRoute
	case d.file.wpt > 0:
		return d.file.plannedAt, ErrWaypoints
	}
	return d.file.trkAt, ErrNoPoints
}
