// Package gpx reads recordings from GPX 1.0 and 1.1 files.
//
// It tells what the file says, in the units of package load. Whether positions,
// times and their sequence make sense is judged in package ingest, for all
// formats alike; GPX is written elsewhere.
package gpx

import (
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// Limits bound what one file may cost.
type Limits = xmlscan.Limits

// DefaultLimits are those of package xmlscan.
var DefaultLimits = xmlscan.DefaultLimits

// Sniff reports whether data, or the file that it is the start of, is GPX: its
// first element is named gpx, whatever the prefix, encoding or extension.
func Sniff(data []byte) bool { return xmlscan.HasRoot(data, "gpx") }

// Decode returns the recordings of a GPX file, one a track that has times, in
// the order of the file. Samples are in the order of the file too, even where
// times run back.
//
// A file that is cut short gives what it holds, with a note. An error is a
// *load.DecodeError and comes without activities; a file of routes, waypoints
// or untimed points gives one of the errors of this package.
func Decode(data []byte, lim Limits) ([]load.Activity, error) {
	doc := xmlscan.Document{Format: "gpx", Root: "gpx", Data: data, Limits: lim.OrDefault()}
	d := decoder{limits: doc.Limits}
	report, err := doc.Scan(&d)
	if err != nil {
		return nil, err
	}
	d.closeTrack()
	activities := d.finish()
	if len(activities) == 0 {
		return nil, doc.Error(d.refusal())
	}
	report.AddTo(activities)
	return activities, nil
}

// decoder is the state machine from elements to tracks.
type decoder struct {
	limits Limits
	file   gpxType
	trk    trk
	pt     wptType
	track  *xmlscan.Track // of the open trk, or nil
	result
}

// Start implements xmlscan.Handler.
func (d *decoder) Start(e *xmlscan.Element) xmlscan.Kind {
	switch e.Parent {
	case trkptElement:
		return inTrkpt(e.Local)
	case trkptExtensions:
		return inTrkptExtensions(e.Local)
	case trksegElement:
		return d.inTrkseg(e)
	case trkElement:
		return d.inTrk(e)
	case trkExtensions:
		return inTrkExtensions(e.Local)
	case gpxElement:
		return d.inGpx(e)
	}
	if e.Depth == 1 {
		return gpxElement
	}
	return xmlscan.Ignored
}

func (d *decoder) inGpx(e *xmlscan.Element) xmlscan.Kind {
	switch string(e.Local) {
	case "trk":
		if d.file.trk++; d.file.trk == 1 {
			d.file.trkAt = e.Offset
		}
		d.openTrack()
		return trkElement
	case "wpt":
		d.file.wpt++
	case "rte":
		d.file.rte++
	default:
		return xmlscan.Ignored
	}
	if d.file.wpt+d.file.rte == 1 {
		d.file.plannedAt = e.Offset
	}
	return xmlscan.Ignored
}

func (d *decoder) inTrk(e *xmlscan.Element) xmlscan.Kind {
	switch string(e.Local) {
	case "trkseg":
		d.track.Pause()
		return trksegElement
	case "trkpt":
		return d.inTrkseg(e)
	case "name":
		return trkName
	case "type":
		return trkType
	case "extensions":
		return trkExtensions
	}
	return xmlscan.Ignored
}

func inTrkExtensions(local []byte) xmlscan.Kind {
	switch string(local) {
	case "type", "activity", "activityType", "activity_type", "sport":
		return trkActivity
	}
	return trkExtensions
}

func (d *decoder) inTrkseg(e *xmlscan.Element) xmlscan.Kind {
	if string(e.Local) != "trkpt" {
		return xmlscan.Ignored
	}
	d.pt = wptType{}
	for {
		local, value, ok := e.NextAttribute()
		if !ok {
			return trkptElement
		}
		switch string(local) {
		case "lat":
			d.pt.lat = xmlscan.ParseNumber(value)
		case "lon":
			d.pt.lon = xmlscan.ParseNumber(value)
		}
	}
}

func inTrkpt(local []byte) xmlscan.Kind {
	switch string(local) {
	case "ele":
		return wptEle
	case "time":
		return wptTime
	case "speed":
		return wptSpeed
	case "extensions":
		return trkptExtensions
	}
	return xmlscan.Ignored
}

func inTrkptExtensions(local []byte) xmlscan.Kind {
	switch string(local) {
	case "hr":
		return tpxHr
	case "cad", "cadence", "RunCadence":
		return tpxCad
	case "speed":
		return tpxSpeed
	case "distance":
		return tpxDistance
	}
	return trkptExtensions
}

// End implements xmlscan.Handler.
func (d *decoder) End(kind xmlscan.Kind, text []byte) {
	switch kind {
	case wptEle:
		set(&d.pt.ele, text)
	case wptTime:
		d.pt.time = xmlscan.ParseTime(text)
	case wptSpeed:
		set(&d.pt.speed, text)
	case tpxHr:
		set(&d.pt.extensions.hr, text)
	case tpxCad:
		set(&d.pt.extensions.cad, text)
	case tpxSpeed:
		set(&d.pt.extensions.speed, text)
	case tpxDistance:
		set(&d.pt.extensions.distance, text)
	case trkptElement:
		d.point()
	case trkElement:
		d.closeTrack()
	case trkName:
		d.trk.name = append(d.trk.name[:0], text...)
	case trkType:
		d.trk.typ = append(d.trk.typ[:0], text...)
	case trkActivity:
		d.trk.activity = append(d.trk.activity[:0], text...)
	}
}

// set keeps the value of an element; an empty one does not erase what another
// extension gave.
func set(n *xmlscan.Number, text []byte) {
	if v := xmlscan.ParseNumber(text); v.State != xmlscan.Absent {
		*n = v
	}
}
