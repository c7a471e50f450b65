// Package export writes what the logbook holds in formats that others read: a
// run as GPX, all recordings as a table, a walk-run session as a workout file for
// a watch, everything as a zip. Each writes to an io.Writer.
//
// It decides nothing about load, reads no file and no journal, and knows no
// clock. What it writes is given to it; who may have it is the caller's business.
package export

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"time"

	"github.com/tkrajina/gpxgo/gpx"

	"tidemark/load"
)

// ErrNoTrack is that of a recording of which no position is left to write.
var ErrNoTrack = errors.New("the recording has no positions that can be used, as on a treadmill or in a diary, so there is no track to write")

// creator is what a file says of the program that wrote it.
const creator = "tidemark"

// pointExtension is the namespace in which heart rate and cadence travel in GPX,
// version 1 of its schema: hr in beats a minute, cad in revolutions a minute up
// to 254 (values from memory).
const (
	pointExtension = "http://www.garmin.com/xmlschemas/TrackPointExtension/v1"
	pointPrefix    = "gpxtpx"
	mostTurns      = 254
)

// GPX writes a recording as GPX 1.1: the positions that the cleaning of its track
// kept, with times in UTC to the millisecond, elevation to the millimetre, heart
// rate and cadence. Each stretch between two pauses of the device is a track
// segment of its own; what was recorded while the device paused is left out. A
// pause that takes less than half of the time between two positions does not part
// them.
//
// s is the session that the activity became. Its kind is the type of the track,
// and where the runner gave another date the times are moved to it. Cadence is
// that of one foot, as the extension counts revolutions.
//
// A recording without usable positions is ErrNoTrack, and then nothing is
// written.
func GPX(w io.Writer, a *load.Activity, s *load.Session) error {
	segments := between(a, s)
	if len(segments) == 0 {
		return fmt.Errorf("write GPX of %v: %w", s.Day, ErrNoTrack)
	}
	moved := s.Start - a.Start
	start := s.Start.Time()
	times := []load.Instant{s.Start}
	track := gpx.GPXTrack{Name: cmp.Or(a.Name, s.Sport.String()+" "+s.Day.String())}
	if s.Sport != load.UnknownSport {
		track.Type = s.Sport.String()
	}
	scale := turns(a, s)
	for _, samples := range segments {
		var segment gpx.GPXTrackSegment
		for _, p := range samples {
			at := p.At + moved
			times = append(times, at)
			segment.Points = append(segment.Points, trackPoint(p, at, scale))
		}
		track.Segments = append(track.Segments, segment)
	}
	doc := gpx.GPX{Creator: creator, Time: &start, Tracks: []gpx.GPXTrack{track}}
	doc.RegisterNamespace(pointPrefix, pointExtension)
	text, err := doc.ToXml(gpx.ToXmlParams{Version: "1.1", Indent: true})
	if err != nil {
		return fmt.Errorf("write GPX of %v: %w", s.Day, err)
	}
	_, err = w.Write(append(withMillis(text, times), '\n'))
	return err
}

// between returns the samples whose positions were kept, one list for each
// stretch between the pauses of the device. A sample at the moment when a pause
// begins or ends is not in it.
func between(a *load.Activity, s *load.Session) (out [][]*load.Sample) {
	measured := *a
	measured.Surface = s.Surface // the runner may have said another
	pauses := a.Pauses
	var last *load.Sample
	for i, kept := range load.KeptPositions(&measured, s.Sport) {
		p := &a.Samples[i]
		if !kept || slices.ContainsFunc(pauses, func(v load.Span) bool { return v.From < p.At && p.At < v.To }) {
			continue
		}
		if last == nil || parted(pauses, load.Span{From: last.At, To: p.At}) {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], p)
		last = p
		for len(pauses) > 0 && pauses[0].To <= p.At {
			pauses = pauses[1:]
		}
	}
	return out
}

// parted reports whether the device paused for at least half of the step from one
// position to the next. Package load counts no way there, as readers do between
// two segments; in a step that is mostly movement it counts.
func parted(pauses []load.Span, step load.Span) bool {
	var stood time.Duration
	for _, v := range pauses {
		if v.From >= step.To {
			break
		}
		stood += max(0, min(v.To, step.To).Sub(max(v.From, step.From)))
	}
	return stood > 0 && 2*stood >= step.Duration()
}

// turns returns by what a cadence of the recording becomes revolutions a minute.
// Steps of both feet are two a revolution.
func turns(a *load.Activity, s *load.Session) float64 {
	onFoot := s.Sport == load.Running || s.Sport == load.Walking
	if !onFoot || a.Cadence == load.CadenceOneFoot || s.Notes.Has(load.NoteCadence) {
		return 1
	}
	return 0.5
}

func trackPoint(p *load.Sample, at load.Instant, scale float64) gpx.GPXPoint {
	out := gpx.GPXPoint{Timestamp: at.Time()}
	out.Latitude, out.Longitude = float64(p.Position.Lat), float64(p.Position.Lon)
	if p.Got(load.HasAltitude) {
		out.Elevation.SetValue(math.Round(float64(p.Altitude)*1000) / 1000)
	}
	if p.Got(load.HasHeart) && p.Heart > 0 {
		extend(&out, "hr", int(p.Heart))
	}
	if cad := math.Round(float64(p.Cadence) * scale); p.Got(load.HasCadence) && cad <= mostTurns {
		extend(&out, "cad", int(cad))
	}
	return out
}

// extend adds a value to the extension of a point; hr goes before cad.
func extend(p *gpx.GPXPoint, name string, value int) {
	p.Extensions.GetOrCreateNode(pointExtension, "TrackPointExtension", name).Data = strconv.Itoa(value)
}

// withMillis writes the times of a document anew, in their order: gpxgo leaves the
// fractions of seconds out, and samples of one second would become one.
func withMillis(doc []byte, times []load.Instant) []byte {
	const open, shut = "<time>", "</time>"
	var out bytes.Buffer
	for _, at := range times {
		before, rest, _ := bytes.Cut(doc, []byte(open))
		_, doc, _ = bytes.Cut(rest, []byte(shut))
		out.Write(before)
		out.WriteString(open + at.Time().Format("2006-01-02T15:04:05.999Z") + shut)
	}
	out.Write(doc)
	return out.Bytes()
}
