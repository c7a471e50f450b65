package tcx

import (
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// The kinds of element that matter, named after the elements of the schemas
// TrainingCenterDatabase v2 and ActivityExtension v2. Those with xmlscan.Text
// carry a value.
const (
	databaseElement xmlscan.Kind = iota + 1
	activitiesElement
	multiSportElement
	sportElement // FirstSport and NextSport
	activityElement
	creatorElement
	lapElement
	lapExtensions
	trackElement
	trackpointElement
	positionElement
	heartElement
	trackpointExtensions
)

const (
	activityID xmlscan.Kind = xmlscan.Text + iota
	creatorName
	lapTotalTime
	lapDistance
	lxSteps
	trackpointTime
	positionLatitude
	positionLongitude
	trackpointAltitude
	trackpointDistance
	heartValue
	trackpointCadence
	tpxSpeed
	tpxRunCadence
)

// database is the root: what is there beside the activities.
type database struct {
	courses, workouts, transitions int
	activities                     int
	plannedAt                      int64 // offset of Courses or Workouts
	activityAt                     int64 // offset of the first Activity
}

// activity is an Activity but for its points.
type activity struct {
	sport   []byte // attribute Sport
	id      xmlscan.Time
	creator []byte
	laps    []activityLap
	over    int // laps beyond the limit
}

// activityLap is an ActivityLap_t, with what its tracks hold in short.
type activityLap struct {
	startTime        xmlscan.Time // attribute StartTime
	totalTimeSeconds xmlscan.Number
	distanceMeters   xmlscan.Number
	steps            xmlscan.Number // of the extension LX

	points      int // trackpoints with a usable time
	first, last load.Instant
}

// trackpoint is a Trackpoint_t with its extension TPX.
type trackpoint struct {
	time                xmlscan.Time
	latitude, longitude xmlscan.Number
	altitudeMeters      xmlscan.Number
	distanceMeters      xmlscan.Number
	heartRateBpm        xmlscan.Number
	cadence             xmlscan.Number
	speed, runCadence   xmlscan.Number // of the extension TPX
}
