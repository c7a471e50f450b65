package gpx

import "tidemark/ingest/xmlscan"

// The kinds of element that matter, named after the types and elements of the
// GPX 1.0 and 1.1 schemas. Those with xmlscan.Text carry a value.
const (
	gpxElement xmlscan.Kind = iota + 1
	trkElement
	trkExtensions
	trksegElement
	trkptElement
	trkptExtensions
)

const (
	trkName xmlscan.Kind = xmlscan.Text + iota
	trkType
	trkActivity
	wptEle
	wptTime
	wptSpeed
	tpxHr
	tpxCad
	tpxSpeed
	tpxDistance
)

// gpxType is the root: what is there beside the tracks.
type gpxType struct {
	wpt, rte, trk int
	trkAt         int64 // offset of the first trk
	plannedAt     int64 // offset of the first rte or wpt
}

// trk is a track but for its points.
type trk struct {
	name     []byte
	typ      []byte
	activity []byte // the kind of activity in the track's extensions
}

// wptType is a trkpt with the extensions that recordings carry.
type wptType struct {
	lat, lon   xmlscan.Number
	ele        xmlscan.Number
	time       xmlscan.Time
	speed      xmlscan.Number // GPX 1.0
	extensions trackPointExtension
}

// trackPointExtension is TrackPointExtension v1 or v2 and what others write
// beside it, by local names.
type trackPointExtension struct {
	hr, cad         xmlscan.Number
	speed, distance xmlscan.Number
}
