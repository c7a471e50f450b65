// Package tcx reads recordings from Training Center Database v2 files.
//
// It tells what the file says, in the units of package load. Whether positions,
// times and their sequence make sense, and which distance to believe, is judged
// in package ingest, for all formats alike. Courses and workouts are plans and
// are refused.
package tcx

import (
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// Limits bound what one file may cost.
type Limits = xmlscan.Limits

// DefaultLimits are those of package xmlscan.
var DefaultLimits = xmlscan.DefaultLimits

const root = "TrainingCenterDatabase"

// Sniff reports whether data, or the file that it is the start of, is TCX: its
// first element is named TrainingCenterDatabase, whatever the prefix, encoding
// or extension.
func Sniff(data []byte) bool { return xmlscan.HasRoot(data, root) }

// Decode returns the activities of a TCX file in its order. Samples are in the
// order of the file too, even where times run back. An activity whose points
// have no time, or that has none, keeps the sums of its laps alone.
//
// A file that is cut short gives what it holds, with a note. An error is a
// *load.DecodeError and comes without activities; a file without a recording
// gives one of the errors of this package.
func Decode(data []byte, lim Limits) ([]load.Activity, error) {
	doc := xmlscan.Document{Format: "tcx", Root: root, Data: data, Limits: lim.OrDefault()}
	d := decoder{limits: doc.Limits}
	report, err := doc.Scan(&d)
	if err != nil {
		return nil, err
	}
	d.closeLap()
	d.closeActivity()
	activities := d.finish()
	if len(activities) == 0 {
		return nil, doc.Error(d.refusal())
	}
	report.AddTo(activities)
	return activities, nil
}

// decoder is the state machine from elements to activities.
type decoder struct {
	limits   Limits
	file     database
	activity activity
	lap      activityLap
	inLap    bool
	pt       trackpoint
	track    *xmlscan.Track // of the open activity, or nil
	result
}

// Start implements xmlscan.Handler.
func (d *decoder) Start(e *xmlscan.Element) xmlscan.Kind {
	switch e.Parent {
	case trackpointElement:
		return inTrackpoint(e.Local)
	case positionElement:
		return inPosition(e.Local)
	case heartElement:
		return only(e.Local, "Value", heartValue)
	case trackpointExtensions:
		return inTrackpointExtensions(e.Local)
	case trackElement:
		if string(e.Local) == "Trackpoint" {
			d.pt = trackpoint{}
			return trackpointElement
		}
		return xmlscan.Ignored
	case lapElement:
		return d.inLapElement(e.Local)
	case lapExtensions:
		if string(e.Local) == "Steps" {
			return lxSteps
		}
		return lapExtensions
	case creatorElement:
		return only(e.Local, "Name", creatorName)
	}
	return d.outside(e)
}

// outside is Start for what lies above a lap.
func (d *decoder) outside(e *xmlscan.Element) xmlscan.Kind {
	switch e.Parent {
	case activityElement:
		return d.inActivity(e)
	case activitiesElement:
		if string(e.Local) == "MultiSportSession" {
			return multiSportElement
		}
		return d.inSport(e)
	case multiSportElement:
		if string(e.Local) == "FirstSport" || string(e.Local) == "NextSport" {
			return sportElement
		}
		return xmlscan.Ignored
	case sportElement:
		return d.inSport(e)
	case databaseElement:
		return d.inDatabase(e)
	}
	if e.Depth == 1 {
		return databaseElement
	}
	return xmlscan.Ignored
}

func (d *decoder) inDatabase(e *xmlscan.Element) xmlscan.Kind {
	switch string(e.Local) {
	case "Activities":
		return activitiesElement
	case "Courses":
		d.file.courses++
	case "Workouts":
		d.file.workouts++
	default:
		return xmlscan.Ignored
	}
	if d.file.courses+d.file.workouts == 1 {
		d.file.plannedAt = e.Offset
	}
	return xmlscan.Ignored
}

// inSport handles an Activity, and the Transition between two.
func (d *decoder) inSport(e *xmlscan.Element) xmlscan.Kind {
	switch string(e.Local) {
	case "Transition":
		d.file.transitions++
		return xmlscan.Ignored
	case "Activity":
	default:
		return xmlscan.Ignored
	}
	if d.file.activities++; d.file.activities == 1 {
		d.file.activityAt = e.Offset
	}
	d.openActivity(attribute(e, "Sport"))
	return activityElement
}

func (d *decoder) inActivity(e *xmlscan.Element) xmlscan.Kind {
	switch string(e.Local) {
	case "Id":
		return activityID
	case "Lap":
		d.openLap(attribute(e, "StartTime"))
		return lapElement
	case "Creator":
		return creatorElement
	}
	return xmlscan.Ignored
}

func (d *decoder) inLapElement(local []byte) xmlscan.Kind {
	switch string(local) {
	case "Track":
		d.openTrack()
		return trackElement
	case "TotalTimeSeconds":
		return lapTotalTime
	case "DistanceMeters":
		return lapDistance
	case "Extensions":
		return lapExtensions
	}
	return xmlscan.Ignored
}

func inTrackpoint(local []byte) xmlscan.Kind {
	switch string(local) {
	case "Time":
		return trackpointTime
	case "Position":
		return positionElement
	case "AltitudeMeters":
		return trackpointAltitude
	case "DistanceMeters":
		return trackpointDistance
	case "HeartRateBpm":
		return heartElement
	case "Cadence":
		return trackpointCadence
	case "Extensions":
		return trackpointExtensions
	}
	return xmlscan.Ignored
}

func inPosition(local []byte) xmlscan.Kind {
	switch string(local) {
	case "LatitudeDegrees":
		return positionLatitude
	case "LongitudeDegrees":
		return positionLongitude
	}
	return xmlscan.Ignored
}

func inTrackpointExtensions(local []byte) xmlscan.Kind {
	switch string(local) {
	case "Speed":
		return tpxSpeed
	case "RunCadence":
		return tpxRunCadence
	}
	return trackpointExtensions
}

func only(local []byte, name string, kind xmlscan.Kind) xmlscan.Kind {
	if string(local) == name {
		return kind
	}
	return xmlscan.Ignored
}

// attribute returns the value of one attribute, or nil.
func attribute(e *xmlscan.Element, name string) []byte {
	for {
		local, value, ok := e.NextAttribute()
		if !ok || string(local) == name {
			return value
		}
	}
}

// End implements xmlscan.Handler.
func (d *decoder) End(kind xmlscan.Kind, text []byte) {
	switch kind {
	case trackpointElement:
		d.point()
	case lapElement:
		d.closeLap()
	case activityElement:
		d.closeActivity()
	case activityID:
		d.activity.id = xmlscan.ParseTime(text)
	case creatorName:
		d.activity.creator = append(d.activity.creator[:0], text...)
	case trackpointTime:
		d.pt.time = xmlscan.ParseTime(text)
	default:
		if n := d.number(kind); n != nil {
			*n = xmlscan.ParseNumber(text)
		}
	}
}

// number returns where the number of an element belongs, or nil.
func (d *decoder) number(kind xmlscan.Kind) *xmlscan.Number {
	switch kind {
	case positionLatitude:
		return &d.pt.latitude
	case positionLongitude:
		return &d.pt.longitude
	case trackpointAltitude:
		return &d.pt.altitudeMeters
	case trackpointDistance:
		return &d.pt.distanceMeters
	case heartValue:
		return &d.pt.heartRateBpm
	case trackpointCadence:
		return &d.pt.cadence
	case tpxSpeed:
		return &d.pt.speed
	case tpxRunCadence:
		return &d.pt.runCadence
	case lapTotalTime:
		return &d.lap.totalTimeSeconds
	case lapDistance:
		return &d.lap.distanceMeters
	case lxSteps:
		return &d.lap.steps
	}
	return nil
}
