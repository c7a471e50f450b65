package demo

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"github.com/tkrajina/gpxgo/gpx"
)

// pointExtension is the namespace in which heart rate and cadence travel in GPX.
const pointExtension = "http://www.garmin.com/xmlschemas/TrackPointExtension/v1"

// gpxLook says what a program puts into its GPX files.
type gpxLook struct {
	creator string
	sport   string // of the track; empty: says nothing
	body    bool   // heart rate and cadence
}

// gpxLooks of the forms that are GPX.
var gpxLooks = map[form]gpxLook{
	watchGPX: {creator: "Watch", sport: "running", body: true},
	bareGPX:  {creator: "Watch", body: true},
	phoneGPX: {creator: "Phone", sport: "running"},
}

// gpxBytes returns r as a GPX file, one track segment between two pauses.
func gpxBytes(r *recording, look gpxLook) []byte {
	track := gpx.GPXTrack{Type: look.sport}
	for i := range r.points {
		p := &r.points[i]
		if p.leg == len(track.Segments) {
			track.Segments = append(track.Segments, gpx.GPXTrackSegment{})
		}
		segment := &track.Segments[p.leg]
		segment.Points = append(segment.Points, gpxPoint(p, r.at(p.second), look.body))
	}
	start := r.start.UTC()
	return gpxXML(&gpx.GPX{Creator: look.creator, Time: &start, Tracks: []gpx.GPXTrack{track}})
}

// gpxPoint returns p as a track point.
func gpxPoint(p *point, at time.Time, body bool) gpx.GPXPoint {
	out := gpx.GPXPoint{Timestamp: at.UTC()}
	out.Latitude, out.Longitude = decimals(p.lat, 7), decimals(p.lon, 7)
	out.Elevation.SetValue(decimals(p.height, 1))
	if body {
		for name, v := range [...]float64{p.heart, p.turns} {
			node := out.Extensions.GetOrCreateNode(pointExtension, "TrackPointExtension", [...]string{"hr", "cad"}[name])
			node.Data = strconv.Itoa(whole(v))
		}
	}
	return out
}

// plannedRoute returns a GPX file of a way that nobody has run yet: a route
// without times, which is no recording.
func plannedRoute(name string, way loop) []byte {
	route := gpx.GPXRoute{Name: name}
	const legs = 48
	for i := range legs + 1 {
		var p gpx.GPXPoint
		lat, lon, height := way.at(2*math.Pi*way.radius*float64(i)/legs, 0, 0)
		p.Latitude, p.Longitude = decimals(lat, 7), decimals(lon, 7)
		p.Elevation.SetValue(decimals(height, 1))
		route.Points = append(route.Points, p)
	}
	return gpxXML(&gpx.GPX{Creator: "Planner", Name: name, Routes: []gpx.GPXRoute{route}})
}

// gpxXML writes doc as GPX 1.1.
func gpxXML(doc *gpx.GPX) []byte {
	doc.RegisterNamespace("gpxtpx", pointExtension)
	data, err := doc.ToXml(gpx.ToXmlParams{Version: "1.1", Indent: true})
	if err != nil {
		panic(fmt.Sprintf("demo: write GPX: %v", err))
	}
	return data
}

// decimals rounds v to so many decimal places.
func decimals(v float64, places int) float64 {
	scale := math.Pow10(places)
	return math.Round(v*scale) / scale
}
